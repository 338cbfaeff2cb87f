"""What was found of each change: kept while its file is the same, and those that mean the same."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from mutants.changes import Mutant
from places import ROOT

SAME = Path(__file__).with_name("same.txt")
"""Changes that mean the same: a line with the file and the first line of the place, below it each change and
why."""


class Verdict(NamedTuple):
    by: str
    """The test that noticed the change; empty where none did."""
    tests: int


def reasons(text: str) -> dict[tuple[str, str, str], str]:
    """Why a change means the same, by file, line and change."""
    found, place = {}, ("", "")
    for line in text.splitlines():
        if line.startswith("    "):
            change, _, why = line.strip().partition(" | ")
            found[*place, change] = why
        elif line:
            file, _, statement = line.partition(": ")
            place = file, statement
    return found


def same() -> dict[tuple[str, str, str], str]:
    return reasons(SAME.read_text(encoding="utf-8"))


def key(mutant: Mutant) -> tuple[str, str, str]:
    return mutant.file, mutant.statement, mutant.told


class Kept:
    """Changes that a test noticed, a line of JSON each. Those that none did are tried again."""

    def __init__(self, path: Path) -> None:
        self.path = path
        lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
        self.found = {mark: Verdict(by, tests) for mark, by, tests in map(json.loads, lines)}

    def of(self, mutant: Mutant) -> Verdict | None:
        return self.found.get(_mark(mutant))

    def add(self, mutant: Mutant, verdict: Verdict) -> None:
        with self.path.open("a", encoding="utf-8") as file:
            file.write(json.dumps([_mark(mutant), *verdict]) + "\n")


def _mark(mutant: Mutant) -> str:
    return sha256((ROOT / mutant.file).read_bytes() + repr(mutant).encode()).hexdigest()[:24]
