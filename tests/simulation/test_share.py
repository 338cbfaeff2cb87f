"""A share of the simulation in each run of the tests: other seeds than those of the long search.

``SEEDS`` sets how many runs. One seed gives one run, whatever Python makes of the order of its sets.
"""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from places import ROOT, SUPPORT
from simulation.drive import run_range
from simulation.moves import MOVES, drawn
from simulation.shrink import shrink, told

SEEDS = int(os.environ.get("SEEDS", "24"))
FIRST = 50_000_000
PARTS = 4


@pytest.mark.parametrize("part", range(PARTS))
def test_everything_that_must_hold_holds_in_a_share_of_simulated_lives(part: int) -> None:
    share = SEEDS // PARTS
    sessions, failed = run_range(FIRST + part * share, FIRST + (part + 1) * share)
    assert [told(shrink(seed)) for seed in failed] == []
    assert sessions >= share, "hardly anybody trained"


def test_every_move_comes_in_some_run() -> None:
    assert {move.name for seed in range(200) for move in drawn(seed)} == MOVES.keys()


@pytest.mark.parametrize("seed", [3, 8])
def test_a_seed_gives_the_same_run_again_in_another_process(seed: int) -> None:
    script = f"from simulation.run import trace; print(trace({seed}))"
    paths = [ROOT, ROOT / "tests", SUPPORT, SUPPORT / "stores"]
    told = {
        subprocess.run(
            [sys.executable, "-c", script],
            env=os.environ | {"PYTHONHASHSEED": number, "PYTHONPATH": os.pathsep.join(map(str, paths))},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for number in ("1", "2")
    }
    assert len(told) == 1
    assert "\n" in told.pop()
