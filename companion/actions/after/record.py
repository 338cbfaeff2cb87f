"""A saved session, opened and corrected."""

from __future__ import annotations

from dataclasses import replace

from companion.actions.after.week import Week
from companion.actions.context import Context
from companion.actions.copying import SAVED
from companion.actions.fitting import fit, learn
from companion.actions.late import amend
from companion.state.screen import Screen
from companion.state.week import OpenedRecord
from companion.words.saying import say
from engine.base.issue import WrongValue
from engine.base.message import message
from engine.record.amendment import AmendedField, SetCorrection, amended
from engine.record.record import SetAnswer


class Record:
    def __init__(self, context: Context, week: Week) -> None:
        self._context, self._week = context, week

    async def open(self, record_id: str) -> None:
        """Opens a saved session. Raises WrongValue if it was erased meanwhile."""
        sessions = self._context.store.sessions
        record = await sessions.record(record_id)
        if record is None:
            raise WrongValue(message("session_gone"))
        amendments = await sessions.amendments(record_id)
        now = amended(record, amendments)
        self._context.state.week.opened = OpenedRecord(record, now, amendments, {}, now.effort, now.note)
        self._context.show(Screen.record)

    @property
    def _opened(self) -> OpenedRecord:
        return self._context.state.week.open_record

    def correct_effort(self, effort: float | None) -> None:
        self._context.state.week.opened = replace(self._opened, effort=effort)
        self._context.state.on_change()

    def correct_note(self, note: str) -> None:
        """Corrects the word to the coach, at most 2000 characters. The field shows it already."""
        self._context.state.week.opened = replace(self._opened, note=note[:2_000])

    def correct_set(self, key: str, **changes: object) -> None:
        opened = self._opened
        done = next(one for one in opened.corrected.sets if one.key == key)
        now = opened.sets.get(key, done.answer)
        answer = SetAnswer.model_validate(now.model_dump() | changes)
        self._context.state.week.opened = replace(opened, sets={**opened.sets, key: answer})
        self._context.state.on_change()

    async def save(self) -> None:
        """Saves what was changed as amendments; the record stays as it was saved."""
        context, opened = self._context, self._opened
        try:
            await self._amend(opened)
        finally:  # what was saved before a refusal counts
            learn(context, await context.store.sessions.history())
            fit(context)
        await self.close()
        self._context.state.said = say(SAVED)
        self._context.state.on_change()

    async def _amend(self, opened: OpenedRecord) -> None:
        context, now, record_id = self._context, opened.corrected, opened.saved.id
        said = {done.key: done.answer for done in now.sets}
        for key, answer in opened.sets.items():
            if answer != said[key]:
                value = SetCorrection(key=key, answer=answer).model_dump(mode="json")
                await amend(context, record_id, AmendedField.set, value)
        if opened.effort != now.effort:
            await amend(context, record_id, AmendedField.effort, opened.effort)
        if opened.note != now.note:
            await amend(context, record_id, AmendedField.note, opened.note)

    async def close(self) -> None:
        await self._week.show()
        self._context.state.week.opened = None
