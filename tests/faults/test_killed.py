"""A process is killed while it writes: everything acknowledged is saved.

A seed sets the number of acknowledged writes before each kill; where in the next write the kill falls is up
to the machine. A kill leaves the system's cache intact, so this tests the order of steps, not whether a sync
reaches the medium. The unit tests make torn files by hand. ``KILLS`` sets the number of runs.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest
from places import ROOT, SUPPORT

from storage.derived import weekly_figures
from storage.folder.owner import FolderLock
from storage.folder.store import FolderStore
from storage.store import amended_records

RUNS = int(os.environ.get("KILLS", "5"))
WRITER = SUPPORT / "faults" / "writing_process.py"


def killed_after(writes: int, folder: Path) -> dict[str, list[int]]:
    """Kills a writing process after a number of acknowledged writes; returns what it told."""
    paths = os.pathsep.join([str(ROOT), str(SUPPORT)])
    with subprocess.Popen(
        [sys.executable, str(WRITER), str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": paths},
    ) as process:
        assert process.stdout is not None
        told = [process.stdout.readline() for _ in range(writes)]
        process.kill()
        told += process.stdout.readlines()
    acknowledged: dict[str, list[int]] = {"event": [], "record": []}
    for line in told:
        if line.endswith("\n"):
            kind, number = line.split()
            acknowledged[kind].append(int(number))
    return acknowledged


@pytest.mark.parametrize("seed", range(RUNS))
async def test_every_acknowledged_event_and_record_is_there_after_a_kill(seed: int, tmp_path: Path) -> None:
    writes = random.Random(seed).randint(1, 90)
    told = killed_after(writes, tmp_path)
    assert len(told["event"]) + len(told["record"]) >= writes
    assert FolderLock(tmp_path).take(), "the lock ended with the process"
    store = FolderStore(tmp_path)

    run = await store.run.read()
    assert run is not None
    events = [event.seq for event in run.events]
    assert events == list(range(1, len(events) + 1))
    assert told["event"][-1] <= len(events) <= told["event"][-1] + 1

    saved = {record.id for record in await store.sessions.records()}
    assert {f"record-{number}" for number in told["record"]} <= saved
    assert len(saved) <= len(told["record"]) + 1
    assert await store.sessions.week_index() == weekly_figures(await amended_records(store))
    assert await store.troubles() == ()

    last = run.events[-1]
    await store.run.append(last.model_copy(update={"seq": last.seq + 1, "id": "after"}))
    found = await store.run.read()
    assert found is not None
    assert len(found.events) == len(events) + 1
