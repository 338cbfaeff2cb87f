"""Who may write in a data folder: one window of one process.

Between processes the system's lock on a file decides; the lock ends with the process, however that ends.
Between computers that a service copies the folder to, a mark in it decides (storage/files/computer.py).
Within a process a token that survives a reload tells windows apart: the same token takes over from the window
it replaces. A window with another token only reads, unless it is told to take over.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO

from storage.files import disk
from storage.files.computer import Computer, ComputerMark
from storage.problem import disk_faults_of
from storage.store import WriteAccess

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK_NAME = "owner.lock"


class FolderLock:
    """The system's lock on a data folder. No child process inherits it, and nothing waits for it.

    ``as_left`` says, of a lock that is taken again, that no other process has had it in between.
    ``elsewhere`` names another computer that has the folder, or did not let go of it.
    """

    def __init__(self, folder: Path, computer: Computer | None = None) -> None:
        self._path, self._mark = folder / LOCK_NAME, ComputerMark(folder, computer)
        self.elsewhere = ""
        self._file: IO[bytes] | None = None
        self.as_left, self._taken_ns = False, 0

    def take(self, *, take_over: bool = False) -> bool:
        """Takes the lock; False when another process or computer holds it.

        ``take_over`` takes it from another computer. Raises StorageProblem on a read-only disk.
        """
        self.elsewhere = "" if take_over else self._mark.other() or ""
        if self.elsewhere:
            return False
        if self._file is not None:
            self._mark.set()
            return True
        with disk_faults_of(self._path):
            disk.make_folder(self._path.parent)
            file = disk.open_private(self._path, "ab")
        try:
            _lock(file)
        except OSError:  # Held elsewhere.
            file.close()
            return False
        self._file = file
        self._note_taking()
        self._mark.set()
        return True

    def is_ours(self) -> bool:
        """Whether no other computer has taken the folder over."""
        return self._mark.is_ours()

    def _note_taking(self) -> None:
        """Leaves the time of this taking on the file, by which the next one tells whose the last was."""
        self.as_left = False
        with suppress(OSError):
            before_ns = self._path.stat().st_mtime_ns
            os.utime(self._path)
            self.as_left, self._taken_ns = before_ns == self._taken_ns, self._path.stat().st_mtime_ns

    def release(self) -> None:
        if self._file is not None:
            self._mark.clear()
            self._file.close()  # Closing releases the lock on every system.
            self._file = None


def _lock(file: IO[bytes]) -> None:
    if sys.platform == "win32":
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


class Ownership:
    """One window's hold on a folder; a store asks ``holds`` before each change."""

    def __init__(
        self,
        token: str,
        access: WriteAccess,
        on_stopped: Callable[[], None],
        *,
        is_ours: Callable[[], bool] = lambda: True,
    ) -> None:
        self.token, self.access, self.on_stopped = token, access, on_stopped
        self._is_ours = is_ours

    def holds(self) -> bool:
        if self.access is WriteAccess.owner and not self._is_ours():
            self.access = WriteAccess.another_computer
            self.on_stopped()
        return self.access is WriteAccess.owner


class Owners:
    """The owners of all data folders in this process. The composition root keeps the only instance."""

    def __init__(self, computer: Computer | None = None) -> None:
        self._computer = computer
        self._owners: dict[Path, Ownership] = {}
        self._locks: dict[Path, FolderLock] = {}
        self._last: dict[Path, Ownership] = {}

    def acquire(
        self,
        folder: Path,
        token: str,
        *,
        on_stopped: Callable[[], None],
        take_over: bool = False,
    ) -> Ownership:
        """Asks for a folder. ``on_stopped`` is called once, when another window takes the folder over.

        ``take_over`` is for a person who chose so in a second window of this process, or knows that another
        computer has let go. It never takes a folder from another program.
        """
        key = folder.resolve()
        owner = self._owners.get(key)
        if owner is not None and owner.token != token and not take_over:
            return Ownership(token, WriteAccess.another_window, on_stopped)
        lock = self._locks.setdefault(key, FolderLock(key, self._computer))
        if not lock.take(take_over=take_over):
            by = WriteAccess.another_computer if lock.elsewhere else WriteAccess.another_program
            return Ownership(token, by, on_stopped)
        ownership = Ownership(token, WriteAccess.owner, on_stopped, is_ours=lock.is_ours)
        self._owners[key] = self._last[key] = ownership
        if owner is not None:
            owner.access = WriteAccess.taken_over
            owner.on_stopped()
        return ownership

    def release(self, folder: Path, ownership: Ownership) -> None:
        """Gives up a folder. Does nothing unless ``ownership`` is the present one."""
        key = folder.resolve()
        if self._owners.get(key) is ownership:
            del self._owners[key]
            self._locks[key].release()
            ownership.access = WriteAccess.released

    def is_free(self, folder: Path) -> bool:
        """Whether no window of this process has a folder."""
        return folder.resolve() not in self._owners

    def take_again(self, folder: Path, ownership: Ownership) -> bool:
        """Takes a folder again for a window that gave it up; False where anybody else has had it since."""
        key = folder.resolve()
        if key in self._owners or self._last.get(key) is not ownership:
            return False
        lock = self._locks[key]
        if not lock.take():
            return False
        if not lock.as_left:
            lock.release()
            return False
        self._owners[key], ownership.access = ownership, WriteAccess.owner
        return True
