"""Months of sessions, reloads, weeks and pages in one process: neither memory nor files pile up.

Each day somebody opens the application, answers for the day before, trains, logs and saves; each Sunday they
make the page of the week and a backup. ``DAYS`` sets how many days.
"""

from __future__ import annotations

import gc
import os
import tempfile
import tracemalloc
from datetime import timedelta
from pathlib import Path

import pytest
from builders import STARTED_AT, profile
from somebody import Person

from companion.services.files import FilesInHand
from companion.state.screen import Screen
from engine.base.periods import iso_week
from storage.folder.store import FolderStore

DAYS = int(os.environ.get("DAYS", "14"))
A_SESSION_S = 900
MOST_GROWTH_BYTES = 400_000
"""History and index keep more days at the end than at the first look, within bounds. † Our judgement."""


async def a_day(folder: Path, day: int) -> FilesInHand:
    person = Person(FolderStore(folder), began=STARTED_AT + timedelta(days=day))  # type: ignore[arg-type]
    await person.open()
    if person.state.afterwards.asked is not None:
        await person.do.afterwards.show()
        person.do.afterwards.say_soreness(day % 4)
        await person.do.afterwards.save()
    await person.do.session.start()
    await person.later(A_SESSION_S)
    assert person.state.screen is Screen.log
    await person.do.log.save()
    now = person.context.now()
    if now.weekday() == 6:
        await person.do.week.show(iso_week(now.date()))
        await person.do.week.save_page()
        await person.do.settings.backup.save()
    return person.files


def files_besides_sessions(folder: Path) -> int:
    return sum(
        1
        for one in folder.rglob("*")
        if one.is_file() and one.suffix != ".previous" and one.parent.name != "sessions"
    )


def in_use() -> int:
    gc.collect()
    return tracemalloc.get_traced_memory()[0]


async def test_months_in_one_process_leave_memory_and_files_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    temporary, folder = tmp_path / "temporary", tmp_path / "records"
    temporary.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    await FolderStore(folder).person.save_profile(profile(cautions_read_at=STARTED_AT))
    first, second = DAYS // 2, DAYS
    files: dict[int, int] = {}
    memory: dict[int, int] = {}
    saved = 0
    tracemalloc.start()
    try:
        for day in range(1, DAYS + 1):
            saved += len((await a_day(folder, day)).saved)
            if day in (first, second):
                memory[day], files[day] = in_use(), files_besides_sessions(folder)
    finally:
        tracemalloc.stop()
    index = await FolderStore(folder).sessions.week_index()
    assert sum(week.sessions for week in index) == DAYS
    assert saved >= 2 * (DAYS // 7)
    assert list(temporary.iterdir()) == []
    assert memory[second] - memory[first] < MOST_GROWTH_BYTES
    assert files[second] == files[first]
    kept = list((folder / "sessions").iterdir())
    assert len(kept) <= 2 * DAYS, "each session is one file, and one with what it was before it was amended"
