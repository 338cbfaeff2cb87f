"""The folder for copies, in Settings: chosen once, written to after each session, forgotten."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.copying import (
    choose_folder,
    copy_now,
    forget_folder,
    look_at_folder,
    set_strangers_apart,
)
from companion.state.screen import Screen


class Copies:
    def __init__(self, context: Context) -> None:
        self._context = context

    async def choose(self) -> None:
        """Lets the person choose a folder, and writes everything into it."""
        await choose_folder(self._context)
        await self._show()

    async def write(self) -> None:
        """Writes what waits, asking for permission where it has lapsed."""
        await copy_now(self._context)
        await self._show()

    async def take_in(self, *, same_person: bool = False) -> None:
        """Reads all that other devices wrote in the folder, and writes all of this one."""
        await copy_now(self._context, from_the_start=True, same_person=same_person)
        await self._show()

    async def take_in_mine(self) -> None:
        """Takes in what was written there under another profile, because it is the same person's."""
        await self.take_in(same_person=True)

    async def leave_theirs(self) -> None:
        """Leaves what was written there under another profile, because it is somebody else's."""
        await set_strangers_apart(self._context)
        self._context.state.on_change()

    def look_at_differences(self) -> None:
        """Goes to what is in two versions, to be decided one by one."""
        self._context.show(Screen.differences)

    async def stop(self) -> None:
        """Writes no copies any more. What is in the folder stays."""
        await forget_folder(self._context)
        await self._show()

    async def _show(self) -> None:
        await look_at_folder(self._context)
        self._context.state.on_change()
