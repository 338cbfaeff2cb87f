"""How long each test takes and which functions it enters, measured once and kept while nothing changes."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from functools import cached_property
from hashlib import sha256
from itertools import groupby
from pathlib import Path
from time import process_time

import pytest
from mutants.forks import BROKE, Fork, Outcome
from mutants.reach import file_of
from mutants.switched import Switches
from places import ROOT

SOURCES = ("engine", "storage", "companion", "tests/support")
MOST_S = 900


class Measured:
    """A file for each file of tests. With ``stale``, those made of other sources count as well."""

    def __init__(self, folder: Path, *, stale: bool) -> None:
        self.folder = folder
        self.stale = stale

    @cached_property
    def sources(self) -> str:
        paths = sorted(path for folder in SOURCES for path in (ROOT / folder).rglob("*") if path.is_file())
        return digest(*(path for path in paths if path.suffix != ".pyc"))

    def all(self) -> Iterator[dict[str, object]]:
        for path in sorted(self.folder.glob("*.json")):
            found = json.loads(path.read_text(encoding="utf-8"))
            if self._is_good(found):
                yield found

    def _is_good(self, found: dict[str, object]) -> bool:
        path = ROOT / str(found["file"])
        same = path.is_file() and found["digest"] == digest(path)
        return same and (self.stale or found["sources"] == self.sources)

    def missing(self, session: pytest.Session, switches: Switches) -> Iterator[Fork]:
        """Forks that measure what is not kept."""
        there = {str(one["file"]) for one in self.all()}
        for file, items in groupby(session.items, key=lambda item: file_of(item.nodeid)):
            if file not in there:
                yield self._fork(file, session, list(items), switches)

    def _fork(self, file: str, session: pytest.Session, items: list[pytest.Item], switches: Switches) -> Fork:
        def work(_: Path) -> int:
            tests, functions = {}, list[str]()
            for item, following in zip(items, [*items[1:], None], strict=True):
                switches.entered()
                failed, began = session.testsfailed, process_time()
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
                seconds, entered = process_time() - began, switches.entered()
                if session.testsfailed == failed:
                    functions += sorted(set(entered) - set(functions))
                    tests[item.nodeid] = [round(seconds, 3), sorted(map(functions.index, entered))]
            about = {"file": file, "digest": digest(ROOT / file), "sources": self.sources}
            written = self.folder / f"{file.replace('/', '-').removesuffix('.py')}.json"
            new = written.with_suffix(".new")
            new.write_text(json.dumps({**about, "functions": functions, "tests": tests}), encoding="utf-8")
            new.replace(written)
            return 0

        def then(outcome: Outcome, folder: Path) -> None:
            if outcome == BROKE:
                print((folder / "broke").read_text(encoding="utf-8"), file=sys.stderr)
            elif outcome != 0:
                print(f"{file} could not be measured: {outcome}", file=sys.stderr)

        return Fork(work, then, MOST_S)


def digest(*paths: Path) -> str:
    found = sha256()
    for path in paths:
        found.update(path.read_bytes() + b"\0")
    return found.hexdigest()[:16]
