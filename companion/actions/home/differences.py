"""What is in two versions, here and elsewhere: shown beside each other, and each decided on its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from companion.actions.context import Context
from companion.actions.copying import copy_now
from companion.state.screen import Screen
from companion.words.differing import Differing, differing
from storage.exchange.differences import newer_version, ways_to_settle
from storage.exchange.merge import Conflict, Keep

if TYPE_CHECKING:
    from companion.actions.home.settings import Settings


class Differences:
    def __init__(self, context: Context, settings: Settings) -> None:
        self._context, self._settings = context, settings

    def show(self) -> None:
        self._context.show(Screen.differences)

    def lines(self, conflict: Conflict) -> tuple[Differing, ...]:
        """Every field in which the two versions differ, in words."""
        return differing(conflict.ours, conflict.theirs, self._context.state.home.unit)

    def ways(self, conflict: Conflict) -> tuple[Keep, ...]:
        """What may be kept of the two."""
        return ways_to_settle(conflict)

    def newer(self, conflict: Conflict) -> Keep | None:
        """Which one was said later, where that is known."""
        return newer_version(conflict)

    async def decide(self, revision: str, way: str) -> None:
        """Keeps one of two versions, or both; ``revision`` is that of the other one."""
        backup = self._context.state.backup
        backup.answers = {**backup.answers, revision: Keep(way)}
        if backup.in_backup:
            await self._settings.backup.bring_in(same_person=True, erase=False)
        else:
            await copy_now(self._context, answers=backup.answers)
        self._context.show(Screen.differences if backup.differences else Screen.settings)
        self._context.state.on_change()
