"""What the index of weeks holds: an entry for each session, a review for each week, by ISO year. Pure."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import NamedTuple

from engine.base.periods import iso_week
from storage.folder.session_files import RECORDS, TOMBSTONES
from storage.models import Tombstone
from storage.schema import Tables

SESSIONS, WEEKS = "sessions", "weeks"
WEEKS_IN_A_BLOCK = 4
FIRST_DAY = date(1900, 1, 1)
"""No session was recorded before."""

_WHEN = re.compile(r"\d{4}-\d\d-\d\d \d{4}-W\d\d |  \d{4}-\d\d-\d\dT[0-9:.]+(Z|[+-]\d\d:\d\d)")


class Entry(NamedTuple):
    """What the index knows of one session.

    ``day`` and ``week`` are empty for an erased session, ``erased_at`` for all others.
    """

    stamp: str
    record_id: str
    day: str
    week: str
    erased_at: str

    @property
    def year(self) -> str:
        """The ISO year whose file holds all that a change of this session affects."""
        return (self.week or self.erased_at)[:4]


def entry_of(stamp: str, tables: Tables) -> Entry | None:
    """The entry of a session's file, without reading all of its record; None where it makes no sense."""
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


def block_of(week: str) -> str:
    """The four weeks of an ISO year that are folded again when one of their sessions changes."""
    return f"{week[:4]}-{(int(week[6:]) - 1) // WEEKS_IN_A_BLOCK:02d}"


def grouped(entries: Mapping[str, Entry], *, by: Callable[[Entry], str]) -> dict[str, list[str]]:
    """The names of the sessions that were not erased, by the given key; keys and names are sorted."""
    found: dict[str, list[str]] = defaultdict(list)
    for name in sorted(entries):
        if entries[name].day:
            found[by(entries[name])].append(name)
    return {key: found[key] for key in sorted(found)}


def by_year(
    entries: Mapping[str, Entry], weeks: Mapping[str, str], known_years: Iterable[str]
) -> dict[str, Tables]:
    """One table of sessions and one of weeks for each year; empty ones for years that have none any more."""
    found: dict[str, Tables] = defaultdict(lambda: {SESSIONS: {}, WEEKS: {}})
    for year in known_years:
        _ = found[year]
    for name in sorted(entries):
        found[entries[name].year][SESSIONS][name] = list(entries[name])
    for week in sorted(weeks):
        found[week[:4]][WEEKS][week] = weeks[week]
    return dict(found)


def is_a_year(tables: Tables) -> bool:
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
