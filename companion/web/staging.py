"""A temporary folder for the client's files, which a later start removes where a killed server left it."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from companion.services.clock import SystemClock
from storage.folder.owner import LOCK_NAME, FolderLock
from storage.problem import StorageProblem

PREFIX = "session-companion-"
NEW_FOR_S = 60
"""A folder without a lock may belong to a server that is just starting. † Our judgement, no source."""


class StagedFolder:
    """One such folder. Its lock ends with the process, however that ends."""

    def __init__(self, parent: Path | None = None) -> None:
        parent = parent or Path(tempfile.gettempdir())
        remove_left(parent)
        self.path = Path(tempfile.mkdtemp(prefix=PREFIX, dir=parent))
        self._lock = FolderLock(self.path)
        self._lock.take()

    def cleanup(self) -> None:
        self._lock.release()
        shutil.rmtree(self.path, ignore_errors=True)


def remove_left(parent: Path) -> None:
    """Removes the folders of servers that are gone. Another user's, and what is no folder, stays."""
    for folder in parent.glob(f"{PREFIX}*"):
        with suppress(OSError, StorageProblem):
            if _is_ours(folder) and _is_left(folder):
                shutil.rmtree(folder, ignore_errors=True)


def _is_ours(folder: Path) -> bool:
    is_folder = folder.is_dir() and not folder.is_symlink()
    return is_folder and (os.name == "nt" or folder.stat().st_uid == os.getuid())


def _is_left(folder: Path) -> bool:
    if not (folder / LOCK_NAME).exists():
        return SystemClock().now().timestamp() - folder.stat().st_mtime > NEW_FOR_S
    lock = FolderLock(folder)
    taken = lock.take()
    lock.release()
    return taken
