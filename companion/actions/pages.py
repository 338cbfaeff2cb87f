"""The reading corner: pages that came back, one person's detail, and the coach's answer."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

from pydantic import ConfigDict, TypeAdapter, ValidationError

from companion.actions.desk import Writing
from companion.state.app import Screen
from companion.state.pages import Answer, ReadingCorner
from engine.base.issue import Unreadable
from engine.base.printable import printable_line
from engine.coach.roster import roster
from engine.plan.adjustment import Adjustment, Change
from engine.plan.link import link
from storage.exchange.coach_page import read_page

LONGEST_FILE_NAME = 60
NO_AUTHOR = "Write your name: the person sees from whom it comes."
_CHANGE: TypeAdapter[Change] = TypeAdapter(Change, config=ConfigDict(defer_build=True))


class Collecting(Writing):
    def show_pages(self) -> None:
        self._show(Screen.pages)

    async def take_pages(self) -> None:
        """Adds the pages that are picked, or were dropped on the window, to those that are there; what is no
        page is named, and why."""
        corner = self.state.corner
        pages, refused = list(corner.pages), []
        for picked in await self.files.pick_all("html", "htm"):
            try:
                pages.append(read_page(picked.content))
            except Unreadable as unreadable:
                refused.append(
                    (printable_line(picked.name)[:LONGEST_FILE_NAME], unreadable.issues[0].in_short())
                )
        self.state.corner = replace(
            corner, pages=tuple(pages), people=roster(pages), refused=tuple(refused), opened=""
        )
        self._show(Screen.pages)

    def clear_pages(self) -> None:
        self.state.corner = ReadingCorner()
        self.state.on_change()

    def open_person(self, trainee_id: str) -> None:
        self.state.corner = replace(self.state.corner, opened=trainee_id, answer=self._fresh())
        self.state.on_change()

    def close_person(self) -> None:
        self.open_person("")

    def _fresh(self) -> Answer:
        return Answer(author=self.state.corner.answer.author)

    # The answer

    def sign_answer(self, author: str) -> None:
        self._written(replace(self.state.corner.answer, author=author))

    def answer_for_days(self, days: str) -> None:
        self._written(replace(self.state.corner.answer, days=int(days)))

    def add_change(self, **content: object) -> None:
        """One change more, the same one once. Raises ValueError with one sentence."""
        answer = self.state.corner.answer
        try:
            change = _CHANGE.validate_json(json.dumps(content))
        except ValidationError:
            raise ValueError("Write 1 to 400 letters.") from None
        if change not in answer.changes:
            self._written(replace(answer, changes=(*answer.changes, change)))

    def drop_change(self, number: int) -> None:
        answer = self.state.corner.answer
        self._written(replace(answer, changes=(*answer.changes[:number], *answer.changes[number + 1 :])))

    def _written(self, answer: Answer) -> None:
        self.state.corner = replace(self.state.corner, answer=replace(answer, made=self._made(answer)))
        self.state.on_change()

    def _made(self, answer: Answer) -> Adjustment | None:
        person = self.state.corner.person
        if person is None or not answer.changes or not answer.author.strip():
            return None
        now = self.now().replace(microsecond=0)
        return Adjustment(
            trainee_id=person.trainee_id,
            trainee=person.name,
            author=answer.author.strip()[:120],
            made_at=now,
            until=now.date() + timedelta(days=answer.days),
            changes=answer.changes,
        )

    async def save_answer(self, adjustment: Adjustment) -> None:
        text = json.dumps(adjustment.model_dump(mode="json"), indent=1, ensure_ascii=False)
        await self.files.save(f"adjustment-{adjustment.made_at.date()}.json", f"{text}\n".encode())

    async def copy_answer(self, adjustment: Adjustment) -> None:
        made = link(self.state.settings.base_address, adjustment)
        if made is not None:
            await self.files.copy(made)
