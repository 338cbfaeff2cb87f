"""What a run of tests in a folder of its own tells."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from mutants.checkout import TOO_LONG, failing, note

BOAT = """
class Boat:
    def sails(self):
        return any(self.mast() for _ in range(1))

    def mast(self):
        return True
"""
TESTS = """
from engine.boat import Boat

def test_it_sails():
    assert Boat().sails()

def test_it_sinks():
    assert not Boat().sails()

def test_it_stands():
    assert Boat().mast()

def test_it_drifts():
    while True: pass
"""
FILE = "test_boat.py"


@pytest.fixture
def harbour(tmp_path: Path) -> Path:
    (tmp_path / "engine").mkdir()
    (tmp_path / "engine" / "__init__.py").write_text("")
    (tmp_path / "engine" / "boat.py").write_text(BOAT)
    (tmp_path / FILE).write_text(TESTS)
    return tmp_path


def test_the_first_test_that_fails_is_told_and_no_other_is_run(harbour: Path) -> None:
    sails, sinks, drifts = (f"{FILE}::test_it_{name}" for name in ("sails", "sinks", "drifts"))
    assert failing(harbour, [sails], 1) == ""
    assert failing(harbour, [sinks, drifts], 1) == sinks
    assert failing(harbour, [], 1) == ""


def test_a_run_that_does_not_end_is_ended(harbour: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("mutants.checkout.STARTING_S", 3)
    assert failing(harbour, [f"{FILE}::test_it_drifts"], 0) == TOO_LONG


def test_what_cannot_be_imported_is_told(harbour: Path) -> None:
    (harbour / "engine" / "boat.py").write_text("Boat = 1 / 0")
    assert failing(harbour, [f"{FILE}::test_it_sails"], 1) == "what is imported"


def test_what_each_test_enters_is_noted_and_a_test_that_fails_is_not(harbour: Path) -> None:
    (harbour / FILE).write_text(TESTS.replace("while True: pass", "assert False"))
    note(harbour, [FILE], harbour, 1)
    noted = json.loads((harbour / "test_boat.json").read_text())
    functions = {
        test.partition("::")[2]: [noted["functions"][number] for number in numbers]
        for test, (_, numbers) in noted["tests"].items()
    }
    mast, sails = "engine/boat.py:Boat.mast", "engine/boat.py:Boat.sails"
    assert functions == {"test_it_sails": [mast, sails], "test_it_stands": [mast]}
