"""Writing the coach's answer to one person: an adjustment."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

from pydantic import ConfigDict, TypeAdapter, ValidationError

from companion.actions.context import Context
from companion.state.pages_received import Answer
from companion.words.saying import say
from engine.plan.adjustment import Adjustment, Change
from engine.plan.link import link

_CHANGE: TypeAdapter[Change] = TypeAdapter(Change, config=ConfigDict(defer_build=True))


class AnswerEdits:
    def __init__(self, context: Context) -> None:
        self._context = context

    def sign(self, author: str) -> None:
        self._write(replace(self._answer, author=author))

    def for_days(self, days: str) -> None:
        self._write(replace(self._answer, days=int(days)))

    def add_change(self, **content: object) -> None:
        """Adds a change; the same one again changes nothing. Raises ValueError with one sentence."""
        answer = self._answer
        try:
            change = _CHANGE.validate_json(json.dumps(content))
        except ValidationError:
            raise ValueError(say("Write 1 to 400 letters.")) from None
        if change not in answer.changes:
            self._write(replace(answer, changes=(*answer.changes, change)))

    def drop_change(self, number: int) -> None:
        changes = self._answer.changes
        self._write(replace(self._answer, changes=(*changes[:number], *changes[number + 1 :])))

    @property
    def _answer(self) -> Answer:
        return self._context.state.pages.answer

    def _write(self, answer: Answer) -> None:
        state = self._context.state
        state.pages = replace(state.pages, answer=replace(answer, made=self._made(answer)))
        state.on_change()

    def _made(self, answer: Answer) -> Adjustment | None:
        """The adjustment as it would be handed over; None while a name or a change is missing."""
        person = self._context.state.pages.person
        if person is None or not answer.changes or not answer.author.strip():
            return None
        now = self._context.now().replace(microsecond=0)
        return Adjustment(
            trainee_id=person.trainee_id,
            trainee=person.name,
            author=answer.author.strip()[:120],
            made_at=now,
            until=now.date() + timedelta(days=answer.days),
            changes=answer.changes,
        )

    async def save(self, adjustment: Adjustment) -> None:
        """Saves an adjustment as a file."""
        text = json.dumps(adjustment.model_dump(mode="json"), indent=1, ensure_ascii=False)
        await self._context.files.save(f"adjustment-{adjustment.made_at.date()}.json", f"{text}\n".encode())

    async def copy(self, adjustment: Adjustment) -> None:
        """Copies the link that carries an adjustment."""
        made = link(self._context.state.device.settings.base_address, adjustment)
        if made is not None:
            await self._context.files.copy(made)
