"""Where a window's records are, and whether it may change them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from storage.store import Store, WriteAccess

ANOTHER_WINDOW = "Another window is using these records. This one shows them and changes nothing."
ANOTHER_PROGRAM = (
    "Another program is using these records: close it first. This window shows them and changes nothing."
)
READ_ONLY = {
    WriteAccess.another_window: ANOTHER_WINDOW,
    WriteAccess.taken_over: ANOTHER_WINDOW,
    WriteAccess.another_program: ANOTHER_PROGRAM,
}


class Records(Protocol):
    """Where a window's records are, and whether it may change them."""

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        """The store, and why the window may only read; the reason is empty for the owner.

        ``on_lost`` is called when another window takes the records over.
        """
        ...

    def close(self) -> None: ...
