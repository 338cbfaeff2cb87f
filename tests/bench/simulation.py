"""How many sessions a minute the simulation of the whole product takes on one core, and what did not hold.

    python3 build/dev.py bench simulation [SEEDS]

Each seed is a run of some sessions on two devices (tests/simulation).
"""

from __future__ import annotations

import json
import sys
import time

from simulation.drive import run_range
from simulation.shrink import shrink, told

SEEDS = 1_000
A_PART = 50


def main() -> int:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS
    sessions, failed, began = 0, list[int](), time.process_time()
    for start in range(0, seeds, A_PART):
        found, more = run_range(start, min(start + A_PART, seeds))
        sessions, failed = sessions + found, failed + more
    minutes = (time.process_time() - began) / 60
    print(f"{seeds:,} runs with {sessions:,} sessions in {minutes:.1f} minutes of one core")
    for seed in failed:
        print(told(shrink(seed)))
    figures = {
        "sessions": sessions,
        "violations": len(failed),
        "sessions_per_min": round(sessions / minutes),
    }
    print(json.dumps(figures))
    return 0
