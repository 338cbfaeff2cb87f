"""A session whose process is killed at any moment: nothing acknowledged is lost, and it goes on from there.

The moment is drawn from a seed as a number of steps told. ``SESSIONS`` sets how many sessions are killed.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))

from session_process import OwnClock, person

from companion.samples import sample_plans
from companion.state import Screen
from engine.run_state import Status

SESSIONS = int(os.environ.get("SESSIONS", "6"))
WALKER = Path(__file__).with_name("session_process.py")
ROOT = WALKER.parents[2]


def killed_after(steps: int, folder: Path, seed: int) -> tuple[int, int]:
    """The number of the last event that was told, and where the session stood then."""
    with subprocess.Popen(
        [sys.executable, str(WALKER), str(folder), str(seed)],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    ) as process:
        assert process.stdout is not None
        told = [process.stdout.readline() for _ in range(steps)]
        process.kill()
        told += process.stdout.readlines()
    whole = [line.split() for line in told if line.endswith("\n") and line != "over\n"]
    seq, index = whole[-1]
    return int(seq), int(index)


@pytest.mark.parametrize("seed", range(SESSIONS))
async def test_a_session_whose_process_was_killed_goes_on_where_it_stood(seed: int, tmp_path: Path) -> None:
    steps = random.Random(seed).randint(1, 60)
    seq, index = killed_after(steps, tmp_path, seed)
    clock = OwnClock(3_600_000)
    do = person(tmp_path, clock)
    await do.open(sample_plans)
    live = do.state.live
    assert live is not None
    assert live.state.seq >= seq
    if do.state.screen is Screen.running:
        assert live.state.status is Status.paused
        assert live.gap_ms > 0
        assert live.state.index >= index - 1
        await do.resume()
        await do.end_early()
    await do.save_log()
    (record,) = await do.store.records()
    assert record.id == live.run_id
    assert await do.store.running() is None
    assert await do.store.troubles() == ()
