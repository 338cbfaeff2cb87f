"""The log of a session that is over: as planned, except for what the person says."""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta

from companion.actions.after.week import Week
from companion.actions.context import Context
from companion.actions.copying import SAVED, copy_soon
from companion.actions.fitting import fit, learn
from companion.actions.said_today import save_today
from companion.actions.session.run import Run
from companion.actions.session.session import Session
from companion.state.screen import Screen
from companion.words.saying import say
from engine.base.periods import iso_week
from engine.record.history import History, history_of, merged
from engine.record.record import LogAnswers, Record, SetAnswer, SetDone
from engine.record.recording import record_from, sets_in_turn, sets_of, with_load
from engine.record.reserve import with_reserve
from storage.problem import StorageProblem


class Log:
    def __init__(self, context: Context, run: Run, session: Session, week: Week) -> None:
        self._context, self._run, self._week = context, run, week
        self.not_over = session.not_over

    def effort(self, effort: float | None) -> None:
        self._answer(effort=effort)

    def note(self, note: str) -> None:
        """Notes a word to the coach, at most 2000 characters. The field shows it already."""
        self._answer(note=note[:2_000], quiet=True)

    def set(self, key: str, **changes: object) -> None:
        exceptions = self._context.state.run.answers.exceptions
        now = exceptions.get(key, SetAnswer())
        answer = SetAnswer.model_validate(now.model_dump() | changes)
        self._answer(exceptions={**exceptions, key: answer})

    def set_load(self, movement: str, load_g: int, *, turn: int | None = None) -> None:
        """Corrects the load of a movement, as its last set had it; ``turn`` says which time of the round,
        where it comes several times."""
        run = self._context.state.run
        run.answers = with_load(run.answers, self._own(movement, turn), load_g)
        self._context.state.on_change()

    def reserve(self, movement: str, reserve: int, *, turn: int | None = None) -> None:
        """Says how many repetitions were left in the last round of a movement; 5 stands for 5 or more."""
        run = self._context.state.run
        run.answers = with_reserve(run.answers, self._own(movement, turn), reserve)
        self._context.state.on_change()

    def _own(self, movement: str, turn: int | None) -> tuple[SetDone, ...]:
        run = self._context.state.run
        state = run.in_progress.state
        return sets_in_turn(state.session, sets_of(state, run.answers), movement, turn)

    def _answer(self, *, quiet: bool = False, **changes: object) -> None:
        run = self._context.state.run
        run.answers = run.answers.model_copy(update=changes)
        if not quiet:
            self._context.state.on_change()

    async def _history_with(self, record: Record) -> History:
        """The history with a record that was saved now, even where it cannot be read."""
        try:
            return await self._context.store.sessions.history()
        except StorageProblem:
            return merged((self._context.state.learned.history, history_of((record,))))

    async def save(self) -> None:
        """Makes the record, saves it, and only then closes the running record."""
        context, run = self._context, self._context.state.run
        live = run.in_progress
        record = record_from(
            live.state,
            run.answers,
            record_id=live.run_id,
            profile=context.profile(),
            started_at=live.started_at,
            ended_at=live.started_at + timedelta(milliseconds=live.state.at_ms + live.state.away_ms),
        )
        await self._run.save()
        await context.store.sessions.save(record)
        live.unsaved = ()  # the record holds it all
        with suppress(StorageProblem):  # a run whose record is saved is over all the same
            await context.store.run.close()
        run.live, run.answers = None, LogAnswers()
        context.state.said, context.state.screen = say(SAVED), Screen.setup
        context.state.problem = ""  # what was refused before is saved now
        copy_soon(context, record.local_date)
        learn(context, await self._history_with(record))
        await save_today(context)
        fit(context)
        await self._week.show(iso_week(record.local_date))
