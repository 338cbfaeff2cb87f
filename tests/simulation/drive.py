"""Runs ranges of seeds, one after the other, and keeps what is done, so that a search can be taken up again.

    python3 build/dev.py faults --simulate FROM TO

``dist/simulated.txt`` has a line for each range that was run to its end: the seeds, the runs, their sessions,
the violations and the seconds. Each failing run is shrunk and printed.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from places import ROOT
from simulation.run import run_all
from simulation.shrink import shrink, told

DONE = ROOT / "dist" / "simulated.txt"
A_RANGE = 100


def done_at(path: Path = DONE) -> set[tuple[int, int]]:
    """The ranges of seeds that were run to their end."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    return {(int(first), int(last)) for first, last, *_ in (line.split() for line in lines)}


def ranges(first: int, last: int) -> Iterator[tuple[int, int]]:
    for start in range(first, last, A_RANGE):
        yield start, min(start + A_RANGE, last)


def run_range(first: int, last: int) -> tuple[int, list[int]]:
    """The sessions of a range of seeds, and the seeds of the runs that failed."""
    sessions, failed = 0, []
    gc.disable()
    try:
        for outcome in run_all(range(first, last)):
            sessions += outcome.sessions
            if outcome.fault:
                failed.append(outcome.seed)
            if outcome.seed % 10 == 0:
                gc.collect()
    finally:
        gc.enable()
    return sessions, failed


def drive(first: int, last: int, path: Path = DONE) -> int:
    """Runs what is not done yet of these seeds; returns the number of violations."""
    path.parent.mkdir(exist_ok=True)
    violations = 0
    for start, end in ranges(first, last):
        if (start, end) in done_at(path):
            continue
        began = time.monotonic()
        sessions, failed = run_range(start, end)
        violations += len(failed)
        for seed in failed:
            print(told(shrink(seed)), flush=True)
        with path.open("a", encoding="utf-8") as file:
            file.write(f"{start} {end} {sessions} {len(failed)} {time.monotonic() - began:.0f}\n")
    return violations


def main(arguments: Sequence[str] | None = None) -> int:
    first, last = map(int, sys.argv[1:3] if arguments is None else arguments)
    return int(drive(first, last) > 0)
