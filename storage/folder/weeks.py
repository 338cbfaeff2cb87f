"""The index of weeks: figures kept beside the sessions, so that opening reads no records.

It is only ever a copy, one file for each ISO year. For each session it names the stamp of the file it was
counted from, and what belongs to a file with another stamp is counted again. So it is right after a crash, a
restored file or one taken away. Saving does not wait for it: who reads next counts what is new.
"""

from __future__ import annotations

import hashlib
import re
from collections import defaultdict
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from engine.base.periods import iso_week
from engine.record.week import WeekReview, review_week
from storage.derived import can_be_derived_from
from storage.files.derived_file import DerivedFile, ReadFiles
from storage.folder.session_files import RECORDS, TOMBSTONES, Session, SessionFiles
from storage.models import Tombstone
from storage.schema import Tables

FORMAT = "weeks-of-a-year"
SESSIONS, WEEKS = "sessions", "weeks"
WEEKS_IN_A_BLOCK = 4
FIRST_DAY = date(1900, 1, 1)
"""No session was recorded before."""

_WHEN = re.compile(r"\d{4}-\d\d-\d\d \d{4}-W\d\d |  \d{4}-\d\d-\d\dT[0-9:.]+(Z|[+-]\d\d:\d\d)")

ReadSession = Callable[[str], Session | None]
"""Gives what a file of that name holds; None for what this version cannot read."""


class Entry(NamedTuple):
    """What the index knows of one session: ``day`` and ``week`` are empty for an erased one, ``erased_at``
    for the others."""

    stamp: str
    record_id: str
    day: str
    week: str
    erased_at: str

    @property
    def year(self) -> str:
        """The ISO year of a session: all that a change of it touches lies in one file."""
        return (self.week or self.erased_at)[:4]


def block_of(week: str) -> str:
    """Four weeks of an ISO year: the piece that is counted again when one of its sessions changes."""
    return f"{week[:4]}-{(int(week[6:]) - 1) // WEEKS_IN_A_BLOCK:02d}"


class ReadWeeks(NamedTuple):
    """What was read and is the same until its text is another."""

    seen: ReadFiles
    reviews: dict[str, tuple[str, WeekReview]]


class WeekIndex:
    """The index as it stands at its first use: made anew for each call on the store."""

    def __init__(
        self, folder: Path, sessions: SessionFiles, *, read: ReadSession, may_write: bool, memory: ReadWeeks
    ) -> None:
        self._folder, self._sessions, self._memory = folder, sessions, memory
        self.stamps = sessions.stamps()
        """What the index is counted from: while it is the same, the index is too."""
        self.read, self._may_write = read, may_write

    def weeks(self) -> tuple[WeekReview, ...]:
        held = {week: text for tables in self._years.values() for week, text in tables[WEEKS].items()}
        return tuple(self._review(week, held[week]) for week in sorted(held))

    def _review(self, week: str, text: str) -> WeekReview:
        read = self._memory.reviews.get(week)
        if read is None or read[0] != text:
            read = self._memory.reviews[week] = text, WeekReview.model_validate_json(text)
        return read[1]

    def tombstones(self) -> tuple[Tombstone, ...]:
        erased = sorted((one.record_id, one.erased_at) for one in self.entries.values() if one.erased_at)
        return tuple(Tombstone.model_validate({"record_id": id, "erased_at": at}) for id, at in erased)

    def within(self, period: str | None) -> Iterator[str]:
        """The names of the sessions of a month, an ISO week, or all."""
        for name, entry in self.entries.items():
            if entry.day and (period is None or period in (entry.week, entry.day[:7])):
                yield name

    def blocks(self) -> dict[str, list[str]]:
        """The names of the sessions by block, the earliest first."""
        return _grouped(self.entries, by=lambda entry: block_of(entry.week))

    def seal(self, names: Iterable[str]) -> str:
        """One text for some sessions as they are now."""
        stamps = "\n".join(f"{name} {self.entries[name].stamp}" for name in names)
        return hashlib.sha256(stamps.encode()).hexdigest()[:32]

    @cached_property
    def entries(self) -> dict[str, Entry]:
        sessions = (one for tables in self._years.values() for one in tables[SESSIONS].items())
        return {name: Entry(*held) for name, held in sessions}

    @cached_property
    def _years(self) -> dict[str, Tables]:
        """The index by year, after counting again what belongs to a file that is not as it was."""
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
        years = self._recounted(held, sound | self._fresh(stamps.keys() - sound.keys()), sound, gone)
        if self._may_write:
            for year in (year for year, tables in years.items() if tables != held.get(year)):
                self._file(year).save(years[year])
        return years

    def forget(self) -> None:
        """Counts what was erased, and returns once nothing of it is left on the disk."""
        for year, tables in self._years.items():
            self._file(year).save_for_good(tables)

    @cached_property
    def _files(self) -> dict[str, DerivedFile]:
        return {
            path.stem: DerivedFile(path, FORMAT, self._memory.seen, _is_a_year)
            for path in self._folder.glob("[!.]*.json")
        }

    def _file(self, year: str) -> DerivedFile:
        return self._files.setdefault(
            year, DerivedFile(self._folder / f"{year}.json", FORMAT, self._memory.seen, _is_a_year)
        )

    def _fresh(self, names: Iterable[str]) -> dict[str, Entry]:
        """What is not known yet; what cannot be read is left out, and asked again next time.

        Stamps are taken after the reading: that mends a damaged file, and its stamp is another then.
        """
        found = {}
        for name in sorted(names):
            tables = self._sessions.tables_if_readable(name)
            entry = _entry(self._sessions.stamp(name), tables)
            if entry is not None:
                found[name] = entry
            elif tables:
                self._sessions.say_not_understood(name)
        return found

    def _recounted(
        self, held: dict[str, Tables], entries: dict[str, Entry], sound: Container[str], gone: Iterable[Entry]
    ) -> dict[str, Tables]:
        """``entries`` is all that there is now, ``sound`` what is in the index rightly, ``gone`` what was."""
        touched = {entry.week for entry in gone}
        touched |= {entry.week for name, entry in entries.items() if name not in sound}
        weeks = {week: text for tables in held.values() for week, text in tables[WEEKS].items()}
        names = _grouped(entries, by=lambda entry: entry.week)
        for week in sorted(touched - {""}):
            weeks.pop(week, None)
            records = []
            for name in names.get(week, ()):
                session = self.read(name)
                if session is None or session.record is None:
                    del entries[name]
                elif name not in sound and not can_be_derived_from(session.record, session.amendments):
                    self._sessions.say_not_understood(name)
                    del entries[name]
                elif session.corrected:
                    records.append(session.corrected)
            if records:
                weeks[week] = review_week(records, week).model_dump_json()
        return _by_year(entries, weeks, held)


def _entry(stamp: str, tables: Tables) -> Entry | None:
    """What a session's file comes to, without reading all of its record; None where it makes no sense."""
    try:
        for stone in tables.get(TOMBSTONES, {}).values():
            held = Tombstone.model_validate(stone).model_dump(mode="json")
            return Entry(stamp, held["record_id"], "", "", held["erased_at"])
        for record in tables.get(RECORDS, {}).values():
            day = date.fromisoformat(record["local_date"])
            if day >= FIRST_DAY:
                return Entry(stamp, str(record["id"]), day.isoformat(), iso_week(day), "")
    except (ValueError, LookupError, TypeError):
        pass
    return None


def _is_a_year(tables: Tables) -> bool:
    """Whether the tables of a year make sense."""
    if tables.keys() != {SESSIONS, WEEKS}:
        return False
    try:
        entries = [Entry(*held) for held in tables[SESSIONS].values()]
        return all(map(_makes_sense, entries)) and all(map(_is_review, tables[WEEKS].values()))
    except TypeError:
        return False


def _makes_sense(entry: Entry) -> bool:
    when = f"{entry.day} {entry.week} {entry.erased_at}"
    return _WHEN.fullmatch(when) is not None and isinstance(entry.record_id, str)


def _is_review(text: object) -> bool:
    return isinstance(text, str) and text.startswith('{"iso_week":')


def _grouped(entries: Mapping[str, Entry], *, by: Callable[[Entry], str]) -> dict[str, list[str]]:
    """The names of the sessions, erased ones left out, by what is asked, all in order."""
    found: dict[str, list[str]] = defaultdict(list)
    for name in sorted(entries):
        if entries[name].day:
            found[by(entries[name])].append(name)
    return {key: found[key] for key in sorted(found)}


def _by_year(
    entries: Mapping[str, Entry], weeks: Mapping[str, str], years: Iterable[str]
) -> dict[str, Tables]:
    """One table of sessions and one of weeks for each year, those of before too when they are empty now."""
    found: dict[str, Tables] = defaultdict(lambda: {SESSIONS: {}, WEEKS: {}})
    for year in years:
        _ = found[year]
    for name in sorted(entries):
        found[entries[name].year][SESSIONS][name] = list(entries[name])
    for week in sorted(weeks):
        found[week[:4]][WEEKS][week] = weeks[week]
    return dict(found)
