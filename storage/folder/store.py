"""The store in a folder on the disk.

    profile.json  kit.json  plans.json  drafts.json
    settings.json …                      one file for each concern
    sessions/….json                      one file for each session: record and amendments, or a tombstone
    removed.json                         what was removed here, so that no merge brings it back
    index/2026.json …  history.json      weekly figures and history, derived again where sessions have changed
    running.jsonl                        the session in progress
    trainees/…/                          a data folder like this one for each other person who trains here

A replaced file stays as the previous generation, except where it can be derived again. Between two calls the
store holds nothing in memory but what is still on the disk as it was read. So another store may be opened
over the same folder at any time.
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


class FolderStore:
    """Keeps everything in one data folder.

    ``may_write`` is asked before each change. A window that does not own the folder only reads: a change
    raises StorageProblem.
    """

    def __init__(self, folder: Path, *, may_write: Callable[[], bool] = lambda: True) -> None:
        self.folder = folder
        self._data = DataFolder(folder, may_write=may_write)
        running = RunningFile(folder / RUNNING_NAME, tell=self._data.tell)
        self.person = FolderPerson(self._data)
        self.plans = FolderPlans(self._data)
        self.sessions = FolderSessions(self._data, running)
        self.run = FolderRun(self._data, running, is_kept=lambda run_id: self.sessions.files.exists(run_id))

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        return await self.sessions.erase_all(at=at)

    async def settle(self) -> None:
        self._data.need_ownership()

    async def troubles(self) -> tuple[Trouble, ...]:
        return tuple(self._data.troubles)

    async def removed(self) -> frozenset[str]:
        return self._data.removed()

    async def device(self) -> str:
        file = self._data.file("device")
        device = file.one(ONLY, ONLY)
        if device is None:
            self._data.need_ownership()
            device = {"id": str(uuid4())}
            file.put(ONLY, ONLY, device)
        return str(device["id"])
