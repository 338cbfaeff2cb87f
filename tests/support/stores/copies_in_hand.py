"""A folder for copies in the hand of a test: files in memory, a browser that may refuse."""

from __future__ import annotations

from companion.services.copies_folder import FolderSeen
from storage.problem import Cause, StorageProblem


class FolderInHand:
    """What a page reaches, where the person chooses ``name``.

    ``allowed`` is whether the page may write now, ``says`` what the person answers when they are asked, and
    ``refuses`` why each call fails, with ``only_writing`` each write. ``asked`` counts how often they were
    asked; ``wrote`` are the names.
    """

    def __init__(self, name: str = "Training", *, offered: bool = True) -> None:
        self.whose = ""
        self.to_choose, self.offered = name, offered
        self.name, self.allowed, self.kept_note = "", False, ""
        self.says, self.asked = True, 0
        self.refuses: Cause | None = None
        self.only_writing = False
        self.files: dict[str, bytes] = {}
        self.wrote: list[str] = []
        self._stamps: dict[str, int] = {}

    def on_another_device(self) -> FolderInHand:
        """The same folder, as another device reaches it."""
        other = FolderInHand(self.to_choose)
        other.files, other._stamps = self.files, self._stamps
        return other

    async def look(self) -> FolderSeen:
        return FolderSeen(self.offered, self.name, self.allowed and bool(self.name), self.kept_note)

    async def choose(self) -> FolderSeen | None:
        if not self.to_choose:
            return None
        self.name, self.allowed, self.kept_note = self.to_choose, True, ""
        return await self.look()

    async def allow(self) -> bool:
        self.asked += 1
        self.allowed = self.says
        return self.allowed

    async def forget(self) -> None:
        self.name, self.allowed, self.kept_note = "", False, ""

    async def note(self, text: str) -> None:
        self.kept_note = text

    async def stamps(self) -> dict[str, str]:
        self._check()
        return {name: str(self._stamps.get(name, 0)) for name in self.files}

    async def read(self, name: str) -> bytes:
        self._check()
        return self.files[name]

    async def write(self, name: str, content: bytes) -> str:
        self._check(writes=True)
        self.wrote.append(name)
        self.files[name] = content
        self._stamps[name] = self._stamps.get(name, 0) + 1
        return str(self._stamps[name])

    def _check(self, *, writes: bool = False) -> None:
        assert self.allowed, "nothing is asked of a folder that may not be used"
        if self.refuses and (writes or not self.only_writing):
            raise StorageProblem(self.refuses, self.name, "NoModificationAllowedError")
