"""A plugin of pytest that runs the tests listed in ``MUTANTS_TESTS`` in that order, and says beside the list
which one failed. The first line of the list is how many seconds of processor time they have."""

from __future__ import annotations

import os
import resource
from pathlib import Path

import pytest

LIST = Path(os.environ["MUTANTS_TESTS"])
MOST_BYTES = 8 << 30

most_s, *tests = LIST.read_text(encoding="utf-8").splitlines()
place = {test: number for number, test in enumerate(tests)}
resource.setrlimit(resource.RLIMIT_CPU, (int(most_s), int(most_s) + 5))
resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items[:] = sorted((one for one in items if one.nodeid in place), key=lambda one: place[one.nodeid])


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    if report.failed:
        LIST.with_suffix(".failed").write_text(report.nodeid, encoding="utf-8")
