"""The pages that people sent to the coach, and the detail of one person."""

from __future__ import annotations

import asyncio
from dataclasses import replace

from companion.actions.context import Context
from companion.actions.desk.answer import AnswerEdits
from companion.state.pages_received import Answer, PagesReceived
from companion.state.screen import Screen
from companion.words.saying import several
from engine.base.issue import Unreadable
from engine.base.message import message
from engine.base.printable import printable_line
from engine.coach.roster import roster
from storage.exchange.coach_page import read_page

LONGEST_FILE_NAME = 60
TOO_MANY = message("too_many_at_once")


class Pages:
    def __init__(self, context: Context, answer: AnswerEdits) -> None:
        self._context, self.answer = context, answer

    def show(self) -> None:
        self._context.show(Screen.pages)

    async def take(self) -> None:
        """Adds the pages that are picked. Each file that is no page is named, with the reason."""
        await self.take_dropped(0)

    async def take_dropped(self, count: int) -> None:
        """Adds the pages among ``count`` files dropped on the window, as far as they can be read at once."""
        received = self._context.state.pages
        pages, refused = list(received.pages), []
        all_picked = await self._context.files.pick_all("html", "htm")
        for picked in all_picked:
            await asyncio.sleep(0)  # a session in another window goes on meanwhile
            try:
                pages.append(read_page(picked.content, now=self._context.now()))
            except Unreadable as unreadable:
                refused.append((printable_line(picked.name)[:LONGEST_FILE_NAME], unreadable.issues[0].what))
        if (left_out := count - len(all_picked)) > 0:
            more = several("{count} more", "{count} more", left_out)
            refused.append((more, TOO_MANY))
        self._context.state.pages = replace(
            received, pages=tuple(pages), people=roster(pages), refused=tuple(refused), opened=""
        )
        self._context.show(Screen.pages)

    def clear(self) -> None:
        self._context.state.pages = PagesReceived()
        self._context.state.on_change()

    def open_person(self, trainee_id: str) -> None:
        """Opens one person with an empty answer, signed like the last one."""
        received = self._context.state.pages
        answer = Answer(author=received.answer.author)
        self._context.state.pages = replace(received, opened=trainee_id, answer=answer)
        self._context.state.on_change()

    def close_person(self) -> None:
        self.open_person("")
