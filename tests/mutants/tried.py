"""Tries one change after the other, in a copy of the checkout.

One process imports the tests with every change built in and switched off; each change is tried in a fork of
it. What runs while modules are imported is changed before the import, in forks that have imported nothing of
ours yet. A verdict is a line of JSON: the number of the change, whether it was noticed and by what, and how
many tests were chosen for it.
"""

from __future__ import annotations

import functools
import gc
import importlib
import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from itertools import zip_longest
from pathlib import Path
from typing import NamedTuple

import pytest
from mutants.changes import Mutant
from mutants.forks import BROKE, Fork, Outcome, run
from mutants.measured import Measured
from mutants.reach import Reach, file_of
from mutants.switched import Switches
from places import ROOT

TESTS = ("tests/unit", "tests/property", "tests/external", "tests/golden")
FLAGS = ("-q", "-s", "--no-header", "--tb=no", "-m", "not browser and not phone and not engines")
NOT_OURS = ("hypothesis", "numpy", "pydantic", "tinydb", "flet", "starlette", "pytest_asyncio", "httpx")
"""Imported once for all."""
NICE = 5
NOTICED = 10
STARTING_S = 10
LONGEST_S = 100_000
CONTROLS, CONTROL_S = 50, 120
SLOWER = 4
"""How many times the usual a change may take: longer is noticed. † Our judgement, no source."""


class Order(NamedTuple):
    mutants: list[Mutant]
    kept: Path
    """Where measurements stay."""
    stale: bool
    """Whether they are taken although the sources have changed since."""
    most_s: float
    at_once: int

    @classmethod
    def read(cls, path: Path) -> Order:
        mutants, kept, *more = json.loads(path.read_text(encoding="utf-8"))
        return cls([Mutant.read(*one) for one in mutants], Path(kept), *more)


class Trying:
    def __init__(self, order: Order, told: int) -> None:
        self.order = order
        self.switches = Switches(order.mutants)
        self.measured = Measured(order.kept, stale=order.stale)
        self.told = told
        self.cold = Path(os.environ["TMPDIR"], "cold.json")
        """Which changes have to be made before the import."""

    def tell(self, number: int, by: str, tests: int) -> None:
        os.write(self.told, f"{json.dumps([number, by, tests])}\n".encode())

    def fork(
        self,
        number: int,
        tests: Sequence[str],
        seconds: float,
        tries: Callable[[Sequence[str]], str | None],
        unnoticed: Callable[[int, int], None],
    ) -> Fork:
        """Switches one change on and tries the tests; says what noticed it, or hands it on."""

        def work(folder: Path) -> int:
            self.switches.on[number] = 1
            by = tries(tests)
            (folder / "by").write_text(by or "", encoding="utf-8")
            return NOTICED if by else 0

        def then(outcome: Outcome, folder: Path) -> None:
            if outcome == 0:
                unnoticed(number, len(tests))
            else:
                self.tell(number, noticed_by(outcome, folder), len(tests))

        return Fork(work, then, SLOWER * seconds + STARTING_S)

    def alive(self, number: int, tests: int) -> None:
        self.tell(number, "", tests)


def noticed_by(outcome: Outcome, folder: Path) -> str:
    if outcome == NOTICED:
        return (folder / "by").read_text(encoding="utf-8")
    if outcome == BROKE:
        return f"outside of any test: {(folder / 'broke').read_text(encoding='utf-8').splitlines()[-1]}"
    return "its time" if outcome is None else f"its exit code {outcome}"


def failing(session: pytest.Session, items: Sequence[pytest.Item]) -> str | None:
    """Runs tests until one fails; its name."""
    for item, following in zip_longest(items, items[1:]):
        before = session.testsfailed
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed > before:
            return item.nodeid
    return None


class Warm:
    """Takes the place of the run once all tests are collected."""

    def __init__(self, trying: Trying) -> None:
        self.trying = trying

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            print(f"{report.nodeid} cannot be collected: {report.longrepr}", file=sys.stderr)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        trying = self.trying
        if session.testsfailed:
            return False
        imported = set(trying.switches.entered())
        items = {item.nodeid: item for item in session.items}
        caches = list(own_caches())
        gc.freeze()
        run(trying.measured.missing(session, trying.switches), trying.order.at_once)
        reach = Reach(trying.measured.all())
        cold: list[int] = []

        def tries(tests: Sequence[str]) -> str | None:
            for one in caches:
                one.cache_clear()
            return failing(session, [items[test] for test in tests if test in items])

        def forks() -> Iterator[Fork]:
            for number, one in enumerate(trying.order.mutants):
                if not one.function:
                    cold.append(number)
                    continue
                tests = reach.tests(one, trying.order.most_s)
                unnoticed = (
                    (lambda number, _: cold.append(number)) if one.function in imported else trying.alive
                )
                yield trying.fork(number, tests, reach.seconds_of(tests), tries, unnoticed)

        run([without_a_change(reach.quickest(CONTROLS), tries)], 1)
        run(forks(), trying.order.at_once)
        trying.cold.write_text(json.dumps(sorted(cold)), encoding="utf-8")
        return True


def own_caches() -> Iterator[functools._lru_cache_wrapper[object]]:
    """Those of functions of ours, which may have been filled without a change."""
    for one in gc.get_objects():
        if isinstance(one, functools._lru_cache_wrapper):
            module = sys.modules.get(one.__module__)
            if str(getattr(module, "__file__", None)).startswith(str(ROOT)):
                yield one


class Chosen:
    """Runs only these tests, in this order, until one fails."""

    def __init__(self, tests: Sequence[str]) -> None:
        self.place = {test: number for number, test in enumerate(tests)}
        self.by: str | None = None

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = sorted(
            (item for item in items if item.nodeid in self.place), key=lambda item: self.place[item.nodeid]
        )

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.by = "what is imported" if session.testsfailed else failing(session, session.items)
        return True


def tries_cold(tests: Sequence[str]) -> str | None:
    chosen = Chosen(tests)
    code = pytest.main([*FLAGS, *dict.fromkeys(map(file_of, tests))], plugins=[chosen]) if tests else 0
    return chosen.by or (None if code in (0, 5) else f"pytest's exit code {code}")


def try_cold(trying: Trying) -> None:
    reach = Reach(trying.measured.all())
    run([without_a_change(reach.quickest(CONTROLS), tries_cold)], 1)
    numbers = json.loads(trying.cold.read_text(encoding="utf-8"))

    def forks() -> Iterator[Fork]:
        for number in numbers:
            tests = reach.tests(trying.order.mutants[number], trying.order.most_s)
            yield trying.fork(number, tests, reach.seconds_of(tests), tries_cold, trying.alive)

    run(forks(), trying.order.at_once)


def without_a_change(tests: Sequence[str], tries: Callable[[Sequence[str]], str | None]) -> Fork:
    """The same way with nothing switched on, which nothing may notice."""

    def work(folder: Path) -> int:
        by = tries(tests)
        (folder / "by").write_text(by or "", encoding="utf-8")
        return NOTICED if by else 0

    def then(outcome: Outcome, folder: Path) -> None:
        if outcome != 0:
            told = f"The tests fail without any change: {noticed_by(outcome, folder)}"
            raise SystemExit(told)

    return Fork(work, then, CONTROL_S)


def main() -> int:
    os.nice(max(0, NICE - os.nice(0)))
    for name in NOT_OURS:
        importlib.import_module(name)
    trying = Trying(Order.read(Path(sys.argv[1])), os.dup(1))

    def warm(_: Path) -> int:
        return int(pytest.main([*FLAGS, *TESTS], plugins=[Warm(trying)]))

    def then(outcome: Outcome, folder: Path) -> None:
        if not trying.cold.is_file():
            broke = folder / "broke"
            raise SystemExit(
                broke.read_text(encoding="utf-8") if broke.is_file() else f"It ended with {outcome}."
            )

    run([Fork(warm, then, LONGEST_S, tells_faults=True)], 1)
    try_cold(trying)
    return 0
