"""The layout of version 1: the sessions of a month together in one file of records/."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from engine.base.periods import is_month
from storage.files import disk
from storage.files.durable import Documents
from storage.folder.session_files import AMENDMENTS, RECORDS, TOMBSTONES, SessionFiles, name_of
from storage.problem import disk_faults_of
from storage.schema import Tables

FORMAT = "month-of-records"
COUNTED = ("index.json", "index.json.previous", "history.json.previous")
"""What version 1 counted over its months; it is counted again into other files."""

OpenFile = Callable[[Path, str], Documents]


def months_of_older_layout(folder: Path) -> tuple[Path, ...]:
    """The files of months that are still there, the earliest first."""
    names = {path.name.removesuffix(".previous") for path in (folder / "records").glob("*.json*")}
    return tuple(folder / "records" / name for name in sorted(names) if is_month(name.removesuffix(".json")))


def split(
    months: tuple[Path, ...], open_file: OpenFile, sessions: SessionFiles, *, may_write: bool
) -> dict[str, Tables]:
    """Gives each session of these months a file of its own and removes the month; returns what still lies in
    months because nothing may be written.

    A month goes when all its sessions are on the disk, so a crash leaves some twice, which is no harm.
    """
    left: dict[str, Tables] = {}
    for month in months:
        found = dict(_sessions_of(open_file(month, FORMAT).tables_read))
        if not may_write:
            left |= found
            continue
        for name, tables in found.items():
            if not sessions.tables(name):
                sessions.put_tables(name, tables)
        with disk_faults_of(month):
            disk.remove(disk.previous_of(month), month, *(month.parents[1] / name for name in COUNTED))
    return left


def _sessions_of(month: Tables) -> Iterator[tuple[str, Tables]]:
    ids = [*month.get(RECORDS, {}), *month.get(TOMBSTONES, {})]
    for record_id in ids:
        yield (
            name_of(record_id),
            {
                RECORDS: {key: one for key, one in month.get(RECORDS, {}).items() if key == record_id},
                AMENDMENTS: {
                    key: one
                    for key, one in month.get(AMENDMENTS, {}).items()
                    if isinstance(one, dict) and one.get("record_id") == record_id
                },
                TOMBSTONES: {key: one for key, one in month.get(TOMBSTONES, {}).items() if key == record_id},
            },
        )
