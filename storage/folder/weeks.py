"""The index of weeks: figures kept beside the sessions, so that opening reads no records.

The index is only a copy, with one file for each ISO year. For each session it names the stamp of the file
that its figures come from; what comes from a file with another stamp is derived again. So the index is right
after a crash, and after a file was restored or removed. Saving does not wait for it: the next reader derives
what is new.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Callable, Container, Iterable, Iterator
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from engine.record.week import WeekReview, review_week
from storage.derived import can_be_derived_from
from storage.files.derived_file import DerivedFile, FileCache
from storage.folder.session_files import Session, SessionFiles
from storage.folder.week_entries import (
    SESSIONS,
    WEEKS,
    Entry,
    block_of,
    by_year,
    entry_of,
    grouped,
    is_a_year,
)
from storage.models import Tombstone
from storage.schema import Tables

FORMAT = "weeks-of-a-year"

ReadSession = Callable[[str], Session | None]
"""Reads the session file of that name; None for what this version cannot read."""


class IndexCache(NamedTuple):
    """What was read before: the files, and each week's review with the text that it was read from."""

    files: FileCache
    reviews: dict[str, tuple[str, WeekReview]]


class WeekIndex:
    """The index as it is at its first use. Each call on the store makes a new one, unless nothing changed."""

    def __init__(
        self, folder: Path, sessions: SessionFiles, *, read: ReadSession, may_write: bool, cache: IndexCache
    ) -> None:
        self._folder, self._sessions, self._cache = folder, sessions, cache
        self.stamps = sessions.stamps()
        """What the index is derived from: while the stamps are the same, so is the index."""
        self.read, self._may_write = read, may_write

    def weeks(self) -> tuple[WeekReview, ...]:
        texts = {week: text for tables in self._years.values() for week, text in tables[WEEKS].items()}
        return tuple(self._review(week, texts[week]) for week in sorted(texts))

    def _review(self, week: str, text: str) -> WeekReview:
        cached = self._cache.reviews.get(week)
        if cached is None or cached[0] != text:
            cached = self._cache.reviews[week] = text, WeekReview.model_validate_json(text)
        return cached[1]

    def tombstones(self) -> tuple[Tombstone, ...]:
        erased = sorted((one.record_id, one.erased_at) for one in self.entries.values() if one.erased_at)
        return tuple(Tombstone.model_validate({"record_id": id, "erased_at": at}) for id, at in erased)

    def within(self, period: str | None) -> Iterator[str]:
        """The names of the sessions of a month, an ISO week, or all."""
        for name, entry in self.entries.items():
            if entry.day and (period is None or period in (entry.week, entry.day[:7])):
                yield name

    def blocks(self) -> dict[str, list[str]]:
        """The names of the sessions by block of weeks, the earliest first."""
        return grouped(self.entries, by=lambda entry: block_of(entry.week))

    def seal(self, names: Iterable[str]) -> str:
        """A text that changes when one of these sessions does."""
        stamps = "\n".join(f"{name} {self.entries[name].stamp}" for name in names)
        return hashlib.sha256(stamps.encode()).hexdigest()[:32]

    @cached_property
    def entries(self) -> dict[str, Entry]:
        """What the index knows of each session, by the name of its file."""
        sessions = (one for tables in self._years.values() for one in tables[SESSIONS].items())
        return {name: Entry(*held) for name, held in sessions}

    @cached_property
    def _years(self) -> dict[str, Tables]:
        """The index by year, with all that comes from changed files derived again."""
        held = {year: tables for year, file in self._files.items() if (tables := file.read())}
        known: dict[str, list[Entry]] = defaultdict(list)
        for tables in held.values():
            for name, one in tables[SESSIONS].items():
                known[name].append(Entry(*one))
        stamps = self.stamps
        sound = {
            name: entries[0]
            for name, entries in known.items()
            if len(entries) == 1 and entries[0].stamp == stamps.get(name)
        }
        if len(sound) == len(stamps) == len(known):
            return held
        gone = [entry for name, entries in known.items() if name not in sound for entry in entries]
        years = self._updated(held, sound | self._fresh(stamps.keys() - sound.keys()), sound, gone)
        if self._may_write:
            for year in (year for year, tables in years.items() if tables != held.get(year)):
                self._file(year).save(years[year])
        return years

    def forget(self) -> None:
        """Returns once nothing of what was erased is left in the files of the index."""
        for year, tables in self._years.items():
            self._file(year).save_for_good(tables)

    @cached_property
    def _files(self) -> dict[str, DerivedFile]:
        files: dict[str, DerivedFile] = {}
        with suppress(OSError):  # the index is derived again where it cannot be read
            files |= {path.stem: self._derived_file(path) for path in self._folder.glob("[!.]*.json")}
        return files

    def _file(self, year: str) -> DerivedFile:
        return self._files.setdefault(year, self._derived_file(self._folder / f"{year}.json"))

    def _derived_file(self, path: Path) -> DerivedFile:
        return DerivedFile(path, FORMAT, self._cache.files, is_a_year)

    def _fresh(self, names: Iterable[str]) -> dict[str, Entry]:
        """The entries of new and changed sessions. One that cannot be read is left out until the next time.

        Each stamp is taken after the reading, because reading mends a damaged file and so changes its stamp.
        """
        found = {}
        for name in sorted(names):
            tables = self._sessions.tables_if_readable(name)
            entry = entry_of(self._sessions.stamp(name), tables)
            if entry is not None:
                found[name] = entry
            elif tables:
                self._sessions.tell_not_understood(name)
        return found

    def _updated(
        self, held: dict[str, Tables], entries: dict[str, Entry], sound: Container[str], gone: Iterable[Entry]
    ) -> dict[str, Tables]:
        """The index by year with every changed week derived again.

        ``held`` is the index so far, ``entries`` are those of all sessions now, ``sound`` names the unchanged
        ones, and ``gone`` are the entries that no longer hold.
        """
        changed = {entry.week for entry in gone}
        changed |= {entry.week for name, entry in entries.items() if name not in sound}
        weeks = {week: text for tables in held.values() for week, text in tables[WEEKS].items()}
        names = grouped(entries, by=lambda entry: entry.week)
        for week in sorted(changed - {""}):
            weeks.pop(week, None)
            records = []
            for name in names.get(week, ()):
                session = self.read(name)
                if session is None or session.record is None:
                    del entries[name]
                elif name not in sound and not can_be_derived_from(session.record, session.amendments):
                    self._sessions.tell_not_understood(name)
                    del entries[name]
                elif session.corrected:
                    records.append(session.corrected)
            if records:
                weeks[week] = review_week(records, week).model_dump_json()
        return by_year(entries, weeks, held)
