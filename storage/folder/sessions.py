"""Sessions that are over, in the data folder: their files, and what is derived from them."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from functools import lru_cache

from engine.base.periods import months_of
from engine.record.amendment import Amendment
from engine.record.history import History
from engine.record.noted_pain import NotedPain
from engine.record.record import Record
from engine.record.week import WeekReview
from storage.folder.data_folder import DataFolder
from storage.folder.erase import erase_all, forget_set_aside, refuse_what_is_not_ours
from storage.folder.history import HistoryFile
from storage.folder.running_file import RunningFile
from storage.folder.session_files import SessionFiles
from storage.folder.weeks import IndexCache, WeekIndex
from storage.models import LastLoad, Tombstone
from storage.problem import StorageProblem
from storage.rules import by_time, in_order, in_order_noted, is_new

PAIN_NOTES = "pain-notes"
MOST_READ_AT_ONCE = 32
"""Sessions kept in memory while figures are derived: more than a block of weeks usually has."""


class FolderSessions:
    """Records, their amendments and tombstones, and what is derived from them."""

    def __init__(self, folder: DataFolder, run: RunningFile) -> None:
        self._folder, self._run = folder, run
        self._cache = IndexCache({}, {})
        self._last_index: WeekIndex | None = None
        self.files = SessionFiles(
            folder.path / "sessions", folder.documents, tell=folder.tell, may_write=folder.may_write
        )

    async def save(self, record: Record) -> bool:
        self._folder.need_ownership()
        return self.files.add(record)

    async def record(self, record_id: str) -> Record | None:
        return self.files.session(record_id).record

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        held = (self.files.readable(name) for name in self._within(period))
        return in_order(one.record for one in held if one and one.record)

    async def amend(self, amendment: Amendment) -> None:
        self._folder.need_ownership()
        self.files.amend(amendment)

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        return self.files.session(record_id).amendments

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        names = self._within(period)
        return by_time(amendment for name in names for amendment in self.files.amendments(name))

    async def pain_notes(self) -> tuple[NotedPain, ...]:
        return in_order_noted(self._noted().values())

    async def save_pain_note(self, note: NotedPain) -> bool:
        self._folder.need_ownership()
        if self.files.session(note.id).stone is not None:
            return False
        if is_new(self._noted().get(note.id), note):
            self._folder.put(PAIN_NOTES, note.id, note)
        return True

    async def replace_pain_notes(self, notes: Iterable[NotedPain]) -> None:
        """Saves these pain notes in place of all there are."""
        self._folder.replace(PAIN_NOTES, {note.id: note for note in notes})

    def _noted(self) -> dict[str, NotedPain]:
        """The pain notes by id. One that a crash left after it was erased is removed now."""
        held = {note.id: note for note in self._folder.each(PAIN_NOTES, NotedPain)}
        for note_id in [one for one in held if self.files.session(one).stone is not None]:
            del held[note_id]
            if self._folder.may_write():
                with suppress(StorageProblem):  # then it is removed the next time
                    self._folder.erase_one(PAIN_NOTES, note_id)
        return held

    async def erase(self, record_id: str, *, at: datetime) -> None:
        self._folder.need_ownership()
        forget_set_aside(self._folder.path, record_id)
        self.files.erase(Tombstone(record_id=record_id, erased_at=at))
        self._folder.erase_one(PAIN_NOTES, record_id)
        run = self._run.read()
        if run is not None and run.run_id == record_id:
            self._run.close()
        index = self._index()
        index.forget()
        self._history_file(index).forget()

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        """Erases the sessions and every other file of the folder; see ``Store.erase_all``."""
        self._folder.need_ownership()
        refuse_what_is_not_ours(self._folder.path)
        for note_id in self._noted():
            self.files.erase(Tombstone(record_id=note_id, erased_at=at))
        erased = erase_all(self._folder.path, self.files, at=at)
        await self.week_index()
        return erased

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return self._index().tombstones()

    async def week_index(self) -> tuple[WeekReview, ...]:
        return self._index().weeks()

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return self._history_file(self._index()).loads()

    async def history(self) -> History:
        return self._history_file(self._index()).history()

    def _index(self) -> WeekIndex:
        """The index of the sessions as they are now: the last one where no session has changed since."""
        sessions = self.files
        if self._last_index is None or self._last_index.stamps is not sessions.stamps():
            read = lru_cache(MOST_READ_AT_ONCE)(sessions.readable)
            path, may_write = self._folder.path / "index", self._folder.may_write()
            self._last_index = WeekIndex(path, sessions, read=read, may_write=may_write, cache=self._cache)
        return self._last_index

    def _history_file(self, index: WeekIndex) -> HistoryFile:
        path, may_write = self._folder.path / "history.json", self._folder.may_write()
        return HistoryFile(path, index, read=index.read, may_write=may_write, cache=self._cache.files)

    def _within(self, period: str | None) -> tuple[str, ...]:
        if period is not None:
            months_of(period)
        return tuple(self._index().within(period))
