"""Puts faults that were once found back, one at a time, and says how soon the simulation finds them.

    python3 build/dev.py faults --reintroduced SEEDS

Without this nobody knows whether a simulation that finds nothing could find anything.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pytest
from simulation.mounted import mounted
from simulation.moves import Move
from simulation.once_found import BY_SIMULATION, BY_TRYING
from simulation.run import Outcome, played, run_all
from simulation.shrink import in_words, shrunk, told


@dataclass
class Found:
    """After how many sessions and runs a fault was found, and by which; None where it was not."""

    sessions: int
    runs: int
    run: Outcome | None


def found(fault: Callable[[pytest.MonkeyPatch], None], seeds: range) -> Found:
    """Puts a fault back and runs seeds until something does not hold; that run is shrunk."""
    trained = 0
    with pytest.MonkeyPatch.context() as patch:
        fault(patch)
        for runs, outcome in enumerate(run_all(seeds), 1):
            trained += outcome.sessions
            if outcome.fault:
                return Found(trained, runs, _smaller(outcome))
    return Found(trained, len(seeds), None)


def _smaller(outcome: Outcome) -> Outcome:
    with mounted(), asyncio.Runner() as runner:
        return runner.run(shrunk(outcome))


def plays(seed: int, moves: Sequence[Move]) -> str:
    """What does not hold in a run, empty where everything does."""
    with mounted(), asyncio.Runner() as runner:
        return runner.run(played(seed, moves)).fault


def main() -> int:
    seeds = range(int(sys.argv[1]) if len(sys.argv) > 1 else 400)
    missed = 0
    for fault in (*BY_TRYING, *BY_SIMULATION):
        one = found(fault, seeds)
        missed += one.run is None
        print(f"{fault.__name__:36} {one.sessions:>6} sessions {one.runs:>5} runs", flush=True)
        print(f"    {told(one.run) if one.run else 'not found'}", flush=True)
        if one.run is not None:
            print(f"    found.txt: {fault.__name__} {one.run.seed} {in_words(one.run)}", flush=True)
    return int(missed > 0)
