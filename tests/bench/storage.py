"""How long saving, opening and reviewing a week take as the years go by, beside SQLite on the same disk.

    python3 build/dev.py bench storage [SAVES]

A data folder is filled with sessions of about 25 kB, five a week. Then SAVES more (60) are saved one by one,
and SQLite (write-ahead log, full sync) saves each document on the same disk right after us, so that both meet
the same moments of a busy machine. Times are wall-clock times on the disk of the temporary folder (TMPDIR
chooses another). ``open`` is a new store answering what the first screen asks for, and the weeks. ``review``
is history, weeks and the corrected records of a week right after a save, so that the new session has to be
counted first. Both are the median of several.
"""

from __future__ import annotations

import asyncio
import json
import os
import sqlite3
import sys
import tempfile
from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter
from typing import NamedTuple

from places import GOLDEN

from engine.base.periods import iso_week
from engine.base.reading import read
from engine.live.events import EVENTS, RunningRecord
from engine.record.record import Record
from storage.folder.store import FolderStore
from storage.store import amended_records

COUNTS = (1, 100, 1_000, 2_600, 10_000)
TEN_YEARS = 2_600
SAVES = 60
LOOKS = 9
EVENTS_WRITTEN = 200
WEEKDAYS = (0, 1, 2, 4, 5)


class Figures(NamedTuple):
    """In milliseconds."""

    save: list[float]
    sqlite: list[float]
    open: float
    review: float


def session(number: int) -> Record:
    """The frozen record as session ``number``: five a week from 2016 on, each with its own id."""
    week, turn = divmod(number, len(WEEKDAYS))
    days = timedelta(days=7 * week + WEEKDAYS[turn])
    started_at = datetime.fromisoformat("2016-01-04T18:30:00+00:00") + days
    return _FROZEN.model_copy(
        update={
            "id": f"8d2f6b7e-93a4-4f5b-8a61-{number:012x}",
            "started_at": started_at,
            "ended_at": started_at + timedelta(minutes=25),
            "local_date": started_at.date(),
        }
    )


_FROZEN = read(Record, (GOLDEN / "record.json").read_bytes())


async def taken_ms(does: Callable[[], Awaitable[object]]) -> float:
    started = perf_counter()
    await does()
    return (perf_counter() - started) * 1_000


async def opened(folder: Path) -> None:
    store = FolderStore(folder)
    await store.person.profile()
    await store.plans.all()
    await store.person.kit()
    await store.sessions.history()
    await store.sessions.week_index()
    await store.run.read()


async def reviewed(store: FolderStore, week: str) -> None:
    await store.sessions.history()
    await store.sessions.week_index()
    await amended_records(store, week)


class Sqlite:
    """The judge: one table of documents; each save is one transaction and on the disk when it returns."""

    def __init__(self, path: Path) -> None:
        self._base = sqlite3.connect(path, isolation_level=None)
        self._base.execute("PRAGMA journal_mode=WAL")
        self._base.execute("PRAGMA synchronous=FULL")
        self._base.execute("CREATE TABLE record (id TEXT PRIMARY KEY, local_date TEXT, document TEXT)")

    def save_many(self, records: list[Record]) -> None:
        with self._base:
            self._base.execute("BEGIN")
            for record in records:
                self._insert(record)

    async def save(self, record: Record) -> None:
        self._insert(record)

    def _insert(self, record: Record) -> None:
        values = (record.id, record.local_date.isoformat(), record.model_dump_json())
        self._base.execute("INSERT INTO record VALUES (?, ?, ?)", values)


async def measure(folder: Path, count: int, saves: int) -> Figures:
    """Measures with ``count`` sessions in the folder when the first of ``saves`` is saved."""
    store, sqlite = FolderStore(folder / "kept"), Sqlite(folder / "judge.db")
    await fill(store, sqlite, count - 1)
    await opened(folder / "kept")
    ours, theirs, reviews = [], [], []
    for number in range(count - 1, count - 1 + saves):
        record = session(number)
        ours.append(await taken_ms(lambda record=record: store.sessions.save(record)))
        theirs.append(await taken_ms(lambda record=record: sqlite.save(record)))
        if number < count - 1 + LOOKS:
            week = iso_week(record.local_date)
            reviews.append(await taken_ms(lambda week=week: reviewed(store, week)))
    opens = [await taken_ms(lambda: opened(folder / "kept")) for _ in range(LOOKS)]
    return Figures(ours, theirs, median(opens), median(reviews))


async def fill(store: FolderStore, sqlite: Sqlite, count: int) -> None:
    """Fills both without waiting for the disk, because this part is not measured."""
    records = [session(number) for number in range(count)]
    really, os.fsync = os.fsync, lambda _: None
    try:
        for record in records:
            await store.sessions.save(record)
    finally:
        os.fsync = really
    sqlite.save_many(records)
    os.sync()


async def event_times(folder: Path) -> list[float]:
    run = read(RunningRecord, (GOLDEN / "running-record.json").read_bytes())
    store = FolderStore(folder)
    await store.run.open(run.model_copy(update={"events": ()}))
    times = []
    for seq in range(1, EVENTS_WRITTEN + 1):
        mark = {"kind": "mark", "seq": seq, "id": f"e-{seq}", "session_ms": seq, "segment_id": "a"}
        event = EVENTS.validate_python(mark | {"wall": run.started_at})
        times.append(await taken_ms(lambda event=event: store.run.append(event)))
    return times


def p99(times: list[float]) -> float:
    return quantiles(times, n=100, method="inclusive")[98]


async def bench(saves: int) -> dict[str, float]:
    found: dict[int, Figures] = {}
    print(f"{'sessions':>9} {'save p50':>9} {'p99':>8} {'SQLite p50':>11} {'open':>8} {'review':>8}  in ms")
    for count in COUNTS:
        with tempfile.TemporaryDirectory() as folder:
            found[count] = figures = await measure(Path(folder), count, saves)
        save, sqlite = median(figures.save), median(figures.sqlite)
        print(
            f"{count:>9,} {save:9.2f} {p99(figures.save):8.2f} {sqlite:11.2f} "
            f"{figures.open:8.1f} {figures.review:8.1f}",
            flush=True,
        )
    with tempfile.TemporaryDirectory() as folder:
        events = await event_times(Path(folder))
    print(f"event p50 {median(events):.2f} ms, p99 {p99(events):.2f} ms")
    ten_years = found[TEN_YEARS]
    return {
        "save_p50_ms_first": median(found[1].save),
        "save_p50_ms_10y": median(ten_years.save),
        "save_p99_ms_10y": p99(ten_years.save),
        "sqlite_save_p50_ms": median(ten_years.sqlite),
        "save_times_sqlite_10y": median(ten_years.save) / median(ten_years.sqlite),
        "open_ms_10y": ten_years.open,
        "review_ms_10y": ten_years.review,
        "event_p50_ms": median(events),
    }


def main() -> int:
    saves = int(sys.argv[1]) if len(sys.argv) > 1 else SAVES
    figures = asyncio.run(bench(saves))
    print(json.dumps({name: round(value, 3) for name, value in figures.items()}))
    return 0
