"""The store in a folder on the disk.

    profile.json  kit.json  plans.json  drafts.json
    settings.json                        one file a concern
    sessions/….json                      a session each: its record and amendments, or its tombstone
    index/2026.json …  history.json      weekly figures and history, made again where sessions have changed
    running.jsonl                        the session in progress

What is replaced stays as the generation before, except for what can be made again. Nothing is held in memory
between two calls but what still is as it was read, so that a store may be left and another one opened over
the same folder at any time.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from uuid import uuid4

from storage.folder.data_folder import ONLY, DataFolder
from storage.folder.person import FolderPerson
from storage.folder.plans import FolderPlans
from storage.folder.run import FolderRun
from storage.folder.running_file import RUNNING_NAME, RunningFile
from storage.folder.sessions import FolderSessions
from storage.problem import Trouble


def _always() -> bool:
    return True


class NativeStore:
    """Keeps everything in one data folder.

    ``may_write`` is asked before each change: a window that is not the owner of the folder reads and changes
    nothing, and gets a StorageProblem when it tries.
    """

    def __init__(self, folder: Path, *, may_write: Callable[[], bool] = _always) -> None:
        self.folder = folder
        self._data = DataFolder(folder, may_write=may_write)
        running = RunningFile(folder / RUNNING_NAME, said=self._data.tell)
        self.person = FolderPerson(self._data)
        self.plans = FolderPlans(self._data)
        self.sessions = FolderSessions(self._data, running)
        self.run = FolderRun(self._data, running, is_kept=lambda run_id: self.sessions.files.exists(run_id))

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        return await self.sessions.erase_all(at=at)

    async def troubles(self) -> tuple[Trouble, ...]:
        return tuple(self._data.troubles)

    def device(self) -> str:
        """The id of this data folder among those that share records, made when it is first asked for."""
        file = self._data.file("device")
        held = file.held(ONLY, ONLY)
        if held is None:
            self._data.need_ownership()
            held = {"id": str(uuid4())}
            file.put(ONLY, ONLY, held)
        return str(held["id"])
