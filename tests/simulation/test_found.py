"""What the simulation found keeps its run, shrunk: it fails with the fault put back, and holds without it.

``found.txt`` has a line for each: the fault (``once_found.py``), the seed, and the moves with their device
and the number that their chance comes from. Where the simulation was wrong and the application was not, the
line has ``-`` for a fault, and only has to hold. A change of a move may call for another run:
``faults --reintroduced`` prints one.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from simulation import once_found
from simulation.moves import Move
from simulation.reintroduced import plays

FOUND = Path(__file__).with_name("found.txt")
OF_THE_SIMULATION = "-"


def kept() -> Iterator[tuple[str, int, tuple[Move, ...]]]:
    """The fault, the seed and the moves of each run."""
    for line in FOUND.read_text(encoding="utf-8").splitlines():
        fault, seed, *moves = line.split()
        parts = (move.split(":") for move in moves)
        yield fault, int(seed), tuple(Move(name, int(device), int(number)) for name, device, number in parts)


@pytest.mark.parametrize("fault, seed, moves", [one for one in kept() if one[0] != OF_THE_SIMULATION])
def test_a_run_that_found_a_fault_holds_now_and_fails_with_the_fault_put_back(
    fault: str, seed: int, moves: tuple[Move, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert plays(seed, moves) == ""
    getattr(once_found, fault)(monkeypatch)
    assert plays(seed, moves) != ""


@pytest.mark.parametrize("seed, moves", [one[1:] for one in kept() if one[0] == OF_THE_SIMULATION])
def test_a_run_that_the_simulation_took_for_wrong_holds(seed: int, moves: tuple[Move, ...]) -> None:
    assert plays(seed, moves) == ""


def test_every_fault_that_was_once_found_keeps_its_run() -> None:
    every = {one.__name__ for one in (*once_found.BY_TRYING, *once_found.BY_SIMULATION)}
    assert {fault for fault, _, _ in kept()} - {OF_THE_SIMULATION} == every
