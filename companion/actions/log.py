"""The log of a session that is over, and what is asked about it afterwards."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from companion.actions.week import LookingBack
from companion.state.app import Screen
from companion.state.week import Afterwards
from engine.base.periods import iso_week
from engine.record.record import AmendedField, LogAnswers, SetAnswer, record_from, sets_of


class Reviewing(LookingBack):
    def log_effort(self, effort: float | None) -> None:
        self._answer(effort=effort)

    def log_note(self, note: str) -> None:
        self._answer(note=note[:2_000], quiet=True)

    def log_set(self, key: str, **changes: object) -> None:
        now = self.state.answers.exceptions.get(key, SetAnswer())
        answer = SetAnswer.model_validate(now.model_dump() | changes)
        self._answer(exceptions={**self.state.answers.exceptions, key: answer})

    def log_reserve(self, movement: str, reserve: int) -> None:
        """Repetitions left in the last round of a movement, on every side of it; 5 stands for 5 or more."""
        sets = [one for one in sets_of(self._live().state, self.state.answers) if one.movement == movement]
        exceptions = dict(self.state.answers.exceptions)
        for done in sets:
            if (done.block, done.round) == (sets[-1].block, sets[-1].round):
                said = exceptions.get(done.key, SetAnswer())
                exceptions[done.key] = said.model_copy(update={"effort": 10.0 - reserve})
        self._answer(exceptions=exceptions)

    def _answer(self, *, quiet: bool = False, **changes: object) -> None:
        self.state.answers = self.state.answers.model_copy(update=changes)
        if not quiet:
            self.state.on_change()

    async def save_log(self) -> None:
        """Makes the record, saves it, and only then lets go of the running record."""
        live, profile = self._live(), self._profile()
        record = record_from(
            live.state,
            self.state.answers,
            record_id=live.run_id,
            profile=profile,
            started_at=live.started_at,
            ended_at=live.started_at + timedelta(milliseconds=live.state.at_ms + live.state.away_ms),
        )
        await self.store.sessions.save(record)
        await self.store.run.close()
        self.state.live, self.state.answers = None, LogAnswers()
        self._learn(await self.store.sessions.history())
        self.refit()
        self.state.said = "Saved."
        await self.show_week(iso_week(record.local_date))

    # After the session is over

    async def show_afterwards(self) -> None:
        """The questions that the latest session leaves open."""
        asked = self.state.follow_up
        if asked is not None:
            self.state.afterwards = Afterwards(effort=asked.effort)
            self._show(Screen.afterwards)

    def say_effort(self, effort: int | None) -> None:
        self._said(effort=effort)

    def say_soreness(self, rating: int | None) -> None:
        self._said(soreness=rating)

    def say_morning_pain(self, rating: int | None) -> None:
        self._said(pain=rating)

    def _said(self, **changes: object) -> None:
        self.state.afterwards = replace(self.state.afterwards, **changes)  # type: ignore[arg-type]
        self.state.on_change()

    async def keep_afterwards(self) -> None:
        """Keeps the late answers as amendments; the record stays as it was. Sore muscles count today."""
        asked, said = self.state.follow_up, self.state.afterwards
        if asked is None:
            return
        answers = {
            AmendedField.effort: said.effort if asked.asks_effort else None,
            AmendedField.soreness: said.soreness,
            AmendedField.next_morning_pain: said.pain,
        }
        for field, value in answers.items():
            if value is not None:
                await self._amend(asked.record_id, field, value)
        self._learn(await self.store.sessions.history())
        self.state.follow_up = None
        self.state.screen = Screen.setup
        self.rate_sore_muscles(said.soreness or self.state.sore_muscles)

    async def show_setup(self) -> None:
        self.state.said = ""
        self.state.follow_up = await self._open_questions()
        self._show(Screen.running if self.state.live else Screen.setup)
