"""The records in a data folder."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

from companion.window.records import READ_ONLY
from storage.folder.owner import Owners, Ownership
from storage.folder.store import FolderStore
from storage.store import Store


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
        store = FolderStore(self._folder, may_write=owned.holds)
        if owned.holds():
            await self._fill(store)
        return store, READ_ONLY.get(owned.access, "")

    def close(self) -> None:
        if self._ownership is not None:
            self._owners.release(self._folder, self._ownership)
