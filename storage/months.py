"""Records and their amendments on the disk: one file for each month of the records' local dates."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

from engine.record import Amendment, Record
from storage.count import as_amended, in_order
from storage.durable import Documents, checksum_of
from storage.models import Tombstone
from storage.periods import is_month, is_within, month_of, months_of
from storage.rules import by_time, is_new
from storage.schema import Tables

FORMAT = "month-of-records"
RECORDS, AMENDMENTS, TOMBSTONES = "records", "amendments", "tombstones"

OpenFile = Callable[[Path, str], Documents]
"""Opens the documents of a file of a format."""
ReadMonth = Callable[[str], tuple[Record, ...]]
"""Gives the records of a month as amended, in order of time."""


class MonthFiles:
    """The months in one folder. Amendments and the tombstone stand in the file of their record.

    A tombstone of a record never seen here stands in the month of its erasing.
    """

    def __init__(self, folder: Path, open_file: OpenFile) -> None:
        self.folder, self._open_file = folder, open_file

    def checksums(self) -> dict[str, str]:
        """Every month that has a file, with the checksum of its content (empty when its head is damaged)."""
        names = (path.name.removesuffix(".previous") for path in self.folder.glob("*.json*"))
        months = {name.removesuffix(".json") for name in names if name.endswith(".json")}
        return {month: checksum_of(self._path(month), FORMAT) for month in sorted(filter(is_month, months))}

    def record(self, month: str, record_id: str) -> Record | None:
        held = self._documents(month).held(RECORDS, record_id)
        return None if held is None else Record.model_validate(held)

    def records(self, period: str) -> tuple[Record, ...]:
        """The records of a month or week, in order of time."""
        return in_order(record for month in months_of(period) for record in self._records(month, period))

    def _records(self, month: str, period: str) -> Iterator[Record]:
        for held in self._documents(month).each(RECORDS):
            if is_within(date.fromisoformat(held["local_date"]), period):
                yield Record.model_validate(held)

    def amendments(self, month: str) -> tuple[Amendment, ...]:
        held = self._documents(month).each(AMENDMENTS)
        return by_time(Amendment.model_validate(one) for one in held)

    def amended(self, month: str) -> tuple[Record, ...]:
        """The records of a month as corrected, in order of time."""
        return as_amended(self.records(month), self.amendments(month))

    def add(self, record: Record) -> None:
        """Raises StorageProblem when a record with this id is there and differs."""
        month = month_of(record.local_date)
        if is_new(self.record(month, record.id), record):
            self._documents(month).put(RECORDS, record.id, record.model_dump(mode="json"))

    def amend(self, month: str, amendment: Amendment) -> None:
        saved = next((one for one in self.amendments(month) if one.id == amendment.id), None)
        if is_new(saved, amendment):
            self._documents(month).put(AMENDMENTS, amendment.id, amendment.model_dump(mode="json"))

    def tombstones(self, month: str) -> tuple[Tombstone, ...]:
        return tuple(Tombstone.model_validate(one) for one in self._documents(month).each(TOMBSTONES))

    def erase(self, month: str, stone: Tombstone) -> None:
        """Puts a tombstone in the place of a record and its amendments, in the previous generation too."""

        def take_out(tables: Tables) -> None:
            tables.get(RECORDS, {}).pop(stone.record_id, None)
            held = tables.get(AMENDMENTS, {})
            tables[AMENDMENTS] = {k: one for k, one in held.items() if one["record_id"] != stone.record_id}
            tables.setdefault(TOMBSTONES, {}).setdefault(stone.record_id, stone.model_dump(mode="json"))

        documents = self._documents(month)
        documents.change(take_out)
        documents.forget_previous()

    def _documents(self, month: str) -> Documents:
        return self._open_file(self._path(month), FORMAT)

    def _path(self, month: str) -> Path:
        return self.folder / f"{month}.json"
