"""Where a window's records are, and whether it may change them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from companion.words.saying import msgid
from storage.store import Store, WriteAccess
from storage.trainees import TraineeHere

ANOTHER_WINDOW = msgid("Another window is using these records. This one shows them and changes nothing.")
ANOTHER_PROGRAM = msgid(
    "Another program is using these records: close it first. This window shows them and changes nothing."
)
ANOTHER_COMPUTER = msgid(
    "Another computer has these records open, or ended without closing them. Close them there first; until "
    "then this window shows them and changes nothing."
)
ONLY_SHOWS = msgid("This window shows the records and changes nothing.")
READ_ONLY = {
    WriteAccess.another_window: ANOTHER_WINDOW,
    WriteAccess.taken_over: ANOTHER_WINDOW,
    WriteAccess.another_program: ANOTHER_PROGRAM,
    WriteAccess.another_computer: ANOTHER_COMPUTER,
}


class Records(Protocol):
    """Where a window's records are, and whether it may change them: those of one person at a time."""

    async def trainees(self) -> tuple[TraineeHere, ...]:
        """Everyone who trains on this device, by name; empty where there are records of one person only."""
        ...

    async def add(self) -> str:
        """Makes room for the records of somebody else, and returns their key. Raises StorageProblem."""
        ...

    def choose(self, key: str) -> None:
        """Turns to the records of one person, and lets go of those before."""
        ...

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        """The store, and why the window may only read; the reason is empty for the owner.

        ``on_lost`` is called when another window takes the records over.
        """
        ...

    async def only_read(self) -> Store:
        """The store for a window that changes nothing, because nothing can be written."""
        ...

    async def gain(self, on_lost: Callable[[], None], /) -> bool:
        """Makes a window that only reads the owner, where nobody else has the records now."""
        ...

    def take_again(self) -> bool:
        """Takes again what ``close`` gave up; False where anybody else has had it since, or the disk
        refuses."""
        ...

    def close(self) -> None:
        """Frees the records for any other window."""
        ...
