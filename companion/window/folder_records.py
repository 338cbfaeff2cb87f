"""The records in a data folder."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

from companion.window.records import ONLY_SHOWS, READ_ONLY
from companion.words.saying import said, say
from storage.files.newer import refuse_newer
from storage.folder.location import folder_of, keys_in, new_key
from storage.folder.owner import Owners, Ownership
from storage.folder.store import FolderStore
from storage.problem import StorageProblem
from storage.store import Store, WriteAccess
from storage.trainees import FIRST, TraineeHere, by_name, trainee_in


class FolderRecords:
    """A data folder as one window of this process has it; its owner first fills it with ``fill``.

    The data folders of others who train on this device lie within it.
    """

    def __init__(
        self, owners: Owners, folder: Path, token: str, *, fill: Callable[[Store], Awaitable[None]]
    ) -> None:
        self._owners, self._token, self._fill = owners, token, fill
        self._device, self._folder = folder, folder
        self._ownership: Ownership | None = None

    async def trainees(self) -> tuple[TraineeHere, ...]:
        others = keys_in(self._device)[1:]
        everyone = [await self._trainee(key) for key in (FIRST, *others)] if others else []
        return by_name(everyone)

    async def _trainee(self, key: str) -> TraineeHere | None:
        return await trainee_in(FolderStore(folder_of(self._device, key), may_write=lambda: False), key)

    async def add(self) -> str:
        return new_key()

    def choose(self, key: str) -> None:
        self.close()
        self._ownership, self._folder = None, folder_of(self._device, key)

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        owned = self._ownership
        # who lost the folder asks for it again only when the person says so
        if owned is None or owned.access is WriteAccess.released or take_over:
            try:
                owned = self._acquired(on_lost, take_over=take_over)
            except StorageProblem as problem:
                return await self.only_read(), f"{said(problem.what)} {say(ONLY_SHOWS)}"
        store = FolderStore(self._folder, may_write=owned.holds)
        if owned.holds():
            self._refuse_newer()
            if self._folder == self._device:
                await self._fill(store)
        return store, say(READ_ONLY.get(owned.access, ""))

    def _refuse_newer(self) -> None:
        """Lets go of the folder and raises StorageProblem where a newer version wrote any of it."""
        try:
            refuse_newer(self._folder)
        except StorageProblem:
            self.close()
            raise

    def _acquired(self, on_lost: Callable[[], None], *, take_over: bool = False) -> Ownership:
        owned = self._owners.acquire(self._folder, self._token, on_stopped=on_lost, take_over=take_over)
        self._ownership = owned
        return owned

    async def only_read(self) -> Store:
        self.close()
        return FolderStore(self._folder, may_write=lambda: False)

    async def gain(self, on_lost: Callable[[], None]) -> bool:
        if self._ownership is None or not self._owners.is_free(self._folder):
            return False
        try:
            return self._acquired(on_lost).holds()
        except StorageProblem:
            return False

    def take_again(self) -> bool:
        try:
            return self._ownership is not None and self._owners.take_again(self._folder, self._ownership)
        except StorageProblem:
            return False

    def close(self) -> None:
        if self._ownership is not None:
            self._owners.release(self._folder, self._ownership)
