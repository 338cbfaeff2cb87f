"""Who may write in a data folder: one window of one process.

Across processes the system's lock on a file decides; it goes with the process, however that ends. Within a
process windows are told apart by a token that survives a reload: the same token takes over from the window
that it replaces, another one gets to read only, unless it is told to take over.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import IO

from storage.files import disk
from storage.problem import disk_faults_of
from storage.store import Standing

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK_NAME = "owner.lock"


class FolderLock:
    """The system's lock of a data folder. Not inherited, not waited for."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / LOCK_NAME
        self._file: IO[bytes] | None = None

    def take(self) -> bool:
        """True when this lock holds the folder now. Raises StorageProblem where nothing can be written."""
        if self._file is not None:
            return True
        with disk_faults_of(self._path):
            disk.make_folder(self._path.parent)
            file = self._path.open("ab")
        try:
            _lock(file)
        except OSError:  # Held elsewhere.
            file.close()
            return False
        self._file = file
        return True

    def release(self) -> None:
        if self._file is not None:
            self._file.close()  # Closing lets go of the lock on every system.
            self._file = None


def _lock(file: IO[bytes]) -> None:
    if sys.platform == "win32":
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


class Ownership:
    """One window's hold on a folder; ``holds`` is what a store asks before each change."""

    def __init__(self, token: str, standing: Standing, on_stopped: Callable[[], None]) -> None:
        self.token, self.standing, self.on_stopped = token, standing, on_stopped

    def holds(self) -> bool:
        return self.standing is Standing.owner


class Owners:
    """The owners of all data folders in this process; the composition root keeps the only one."""

    def __init__(self) -> None:
        self._owners: dict[Path, Ownership] = {}
        self._locks: dict[Path, FolderLock] = {}

    def acquire(
        self,
        folder: Path,
        token: str,
        *,
        on_stopped: Callable[[], None],
        take_over: bool = False,
    ) -> Ownership:
        """Asks for a folder. ``on_stopped`` is called once, when another window takes the folder over.

        ``take_over`` is for a person who says so in a second window of this process; another program is never
        pushed out.
        """
        key = folder.resolve()
        owner = self._owners.get(key)
        if owner is not None and owner.token != token and not take_over:
            return Ownership(token, Standing.another_window, on_stopped)
        if not self._locks.setdefault(key, FolderLock(key)).take():
            return Ownership(token, Standing.another_program, on_stopped)
        ownership = self._owners[key] = Ownership(token, Standing.owner, on_stopped)
        if owner is not None:
            owner.standing = Standing.taken_over
            owner.on_stopped()
        return ownership

    def release(self, folder: Path, ownership: Ownership) -> None:
        """Lets go of a folder; only its present owner can."""
        key = folder.resolve()
        if self._owners.get(key) is ownership:
            del self._owners[key]
            self._locks.pop(key).release()
            ownership.standing = Standing.released
