"""Where a window's records are, and whether it may change them."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Protocol

from storage.folder.owner import Owners, Ownership
from storage.folder.store import NativeStore
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


class FolderRecords:
    """A data folder as one window of this process has it; its owner first fills it with ``fill``."""

    def __init__(
        self, owners: Owners, folder: Path, token: str, *, fill: Callable[[Store], Awaitable[None]]
    ) -> None:
        self._owners, self._folder, self._token, self._fill = owners, folder, token, fill
        self._ownership: Ownership | None = None

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        owned = self._ownership
        if owned is None or take_over:  # who lost the folder asks for it again only when the person says so
            owned = self._owners.acquire(self._folder, self._token, on_stopped=on_lost, take_over=take_over)
            self._ownership = owned
        store = NativeStore(self._folder, may_write=owned.holds)
        if owned.holds():
            await self._fill(store)
        return store, READ_ONLY.get(owned.access, "")

    def close(self) -> None:
        if self._ownership is not None:
            self._owners.release(self._folder, self._ownership)
