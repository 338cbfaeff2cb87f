"""The index of weeks: figures and last loads kept beside the months, so that opening reads no records.

It is only ever a copy: for each month it names the checksum of the file it was counted from, and a month
whose file is another is counted again. So it is right after a crash, a restored file or one taken away.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from functools import cached_property
from pathlib import Path

from engine.model import Model
from engine.record import Record
from engine.review import WeekReview, iso_week, review_week
from storage.count import last_loads, latest
from storage.models import LastLoad, Tombstone
from storage.months import MonthFiles, OpenFile, ReadMonth
from storage.periods import is_within, months_of
from storage.problem import StorageProblem
from storage.schema import Tables

FORMAT = "week-index"
MONTHS, WEEKS = "months", "weeks"


class MonthEntry(Model):
    """What the index knows of one month's file."""

    month: str
    sha256: str
    record_ids: tuple[str, ...]
    erased: tuple[Tombstone, ...]
    weeks: tuple[str, ...]
    loads: tuple[LastLoad, ...]


class WeekIndex:
    """The index as it stands at its first use: made anew for each call on the store."""

    def __init__(
        self, path: Path, months: MonthFiles, open_file: OpenFile, *, read: ReadMonth, may_write: bool
    ) -> None:
        self._path, self._months, self._open_file = path, months, open_file
        self._read, self._may_write = read, may_write

    def weeks(self) -> tuple[WeekReview, ...]:
        held = self.tables.get(WEEKS, {})
        return tuple(WeekReview.model_validate(held[week]) for week in sorted(held))

    @cached_property
    def months(self) -> tuple[MonthEntry, ...]:
        held = self.tables.get(MONTHS, {})
        return tuple(MonthEntry.model_validate(held[month]) for month in sorted(held))

    def loads(self) -> tuple[LastLoad, ...]:
        return latest(load for entry in self.months for load in entry.loads)

    def tombstones(self) -> tuple[Tombstone, ...]:
        stones = (stone for entry in self.months for stone in entry.erased)
        return tuple(sorted(stones, key=lambda stone: stone.record_id))

    def is_erased(self, record_id: str) -> bool:
        return any(stone.record_id == record_id for stone in self.tombstones())

    def month_of(self, record_id: str) -> str | None:
        """The month whose file holds a record, or the tombstone of an erased one."""
        for entry in self.months:
            if record_id in entry.record_ids or any(stone.record_id == record_id for stone in entry.erased):
                return entry.month
        return None

    @cached_property
    def tables(self) -> Tables:
        """The index, after counting again every month whose file is not the one it was counted from."""
        documents = self._open_file(self._path, FORMAT)
        tables = documents.tables_read
        present = self._months.checksums()
        known = {month: entry["sha256"] for month, entry in tables.get(MONTHS, {}).items()}
        stale = sorted(month for month in known.keys() | present if known.get(month) != present.get(month))
        if not stale:
            return tables
        tables = self._recounted(tables, stale)
        if self._may_write:
            with suppress(
                StorageProblem
            ):  # It is a copy: what cannot be saved now is counted again next time.
                documents.storage.write(tables)
        return tables

    def refresh(self) -> None:
        """Counts now what else the next reader would have to wait for."""
        _ = self.tables

    def forget_previous(self) -> None:
        """Counts what was changed, and keeps nothing from before it in the previous generation."""
        self.refresh()
        self._open_file(self._path, FORMAT).forget_previous()

    def _recounted(self, tables: Tables, stale: Iterable[str]) -> Tables:
        months, weeks = dict(tables.get(MONTHS, {})), dict(tables.get(WEEKS, {}))
        touched: set[str] = set()
        for month in stale:
            touched.update(months.pop(month, {}).get("weeks", ()))
            entry = self._count_month(month, self._read(month))
            if entry is not None:
                touched.update(entry.weeks)
                months[month] = entry.model_dump(mode="json")
        for week in touched:
            weeks.pop(week, None)
            held = [
                r for month in months_of(week) for r in self._read(month) if is_within(r.local_date, week)
            ]
            if held:
                weeks[week] = review_week(held, week).model_dump(mode="json")
        return {MONTHS: months, WEEKS: weeks}

    def _count_month(self, month: str, records: Iterable[Record]) -> MonthEntry | None:
        """Called after the month was read: reading mends a damaged file, and its checksum is another then."""
        sha256 = self._months.checksums().get(month)
        if sha256 is None:
            return None
        records = tuple(records)
        return MonthEntry(
            month=month,
            sha256=sha256,
            record_ids=tuple(record.id for record in records),
            erased=self._months.tombstones(month),
            weeks=tuple(sorted({iso_week(record.local_date) for record in records})),
            loads=last_loads(records),
        )
