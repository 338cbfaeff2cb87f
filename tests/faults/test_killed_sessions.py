"""The process of a session is killed at any moment: no acknowledged event is lost, and the session goes on.

A seed sets the number of events told before each kill. ``SESSIONS`` sets how many sessions are killed.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest
from places import ROOT, SUPPORT
from session_process import OwnClock, person

from companion.actions.actions import Actions
from companion.state.screen import Screen
from engine.live.run import replay
from engine.live.state import Status
from storage.folder.store import FolderStore

SESSIONS = int(os.environ.get("SESSIONS", "6"))
MOST_EVENTS = 90  # About as many as a session has, so that some are killed once it is over but not saved yet.
WALKER = SUPPORT / "faults" / "session_process.py"


class Told(NamedTuple):
    """An acknowledged event, and the index of the segment at that moment."""

    seq: int
    index: int


def killed_after(events: int, folder: Path, seed: int) -> Told:
    """Kills a session after a number of events; returns what it told last."""
    paths = os.pathsep.join([str(ROOT), str(SUPPORT)])
    with subprocess.Popen(
        [sys.executable, str(WALKER), str(folder), str(seed)],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": paths},
    ) as process:
        assert process.stdout is not None
        told = [process.stdout.readline() for _ in range(events)]
        process.kill()
        told += process.stdout.readlines()
    whole = [line for line in told if line.endswith("\n")]
    return Told(*map(int, whole[-1].split()))


@pytest.mark.parametrize("seed", range(SESSIONS))
async def test_a_session_whose_process_was_killed_goes_on_where_it_stood(seed: int, tmp_path: Path) -> None:
    told = killed_after(random.Random(seed).randint(1, MOST_EVENTS), tmp_path, seed)
    kept = await FolderStore(tmp_path).run.read()
    assert kept is not None
    assert len(kept.events) in (told.seq, told.seq + 1), "the last event may be written but not told"
    then = replay(kept.model_copy(update={"events": kept.events[: told.seq]}))
    assert (then.seq, then.index) == told

    again = person(tmp_path, OwnClock(3_600_000))
    do = Actions(again)
    await do.opening.open()
    live = again.state.run.live
    assert live is not None
    assert live.state.index == replay(kept).index
    if again.state.screen is Screen.running:
        assert live.state.status is Status.paused
        assert live.gap_ms > 0
        await do.session.resume()
        await do.session.end_early()
    elif again.state.screen is Screen.hurt:
        assert again.state.run.pain == replay(kept).telling
        await do.hurt.answer("end")
    await do.log.save()
    (record,) = await again.store.sessions.records()
    assert record.id == live.run_id
    assert await again.store.run.read() is None
    assert await again.store.troubles() == ()
