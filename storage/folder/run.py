"""The session in progress, in the data folder."""

from __future__ import annotations

from collections.abc import Callable

from engine.live.events import Event, RunningRecord
from storage.folder.data_folder import DataFolder
from storage.folder.running_file import RunningFile
from storage.rules import may_open


class FolderRun:
    """The running record. It is over once ``is_kept`` says that a session with its id was saved or erased."""

    def __init__(self, folder: DataFolder, file: RunningFile, *, is_kept: Callable[[str], bool]) -> None:
        self._folder, self._file, self._is_kept = folder, file, is_kept
        self._refused = ""
        """The run whose opening was refused, though its file may be there."""

    async def open(self, opening: RunningRecord) -> None:
        self._folder.need_ownership()
        may_open(await self.read(), opening)
        self._refused = opening.run_id
        self._file.open(opening)
        self._refused = ""

    async def append(self, event: Event) -> None:
        self._folder.need_ownership()
        self._file.append(event)

    async def read(self) -> RunningRecord | None:
        if self._folder.may_write():
            self._file.mend()
        run = self._file.read()
        if run is None or not (run.run_id == self._refused or self._is_kept(run.run_id)):
            return run
        if self._folder.may_write():
            self._file.close()
        return None

    async def close(self) -> None:
        self._folder.need_ownership()
        self._file.close()
