"""Settings of the whole run: where nothing may be skipped, a skipped browser test is a failure.

The laws use the same examples in every run, so that a failure is about the change at hand. To find new ones:

    python -m pytest tests/property --hypothesis-profile=search
"""

import os

import pytest
from hypothesis import settings

settings.register_profile("laws", max_examples=60, deadline=None, database=None, derandomize=True)
settings.register_profile("search", max_examples=3_000, deadline=None)

if settings.get_current_profile_name() in ("default", "ci"):
    settings.load_profile("laws")

BROWSER_MARKS = frozenset({"browser", "phone", "engines"})
LONGEST_FIRST = (
    "tests/browser/phone/test_rehearsal.py",
    "tests/browser/engines/test_offline.py",
    "tests/browser/engines/test_job.py",
    "tests/browser/job/test_main_job.py",
    "tests/browser/screens/test_every_screen.py",
    "tests/browser/job/test_desk.py",
    "tests/browser/phone/test_build.py",
    "tests/browser/phone/test_offline.py",
    "tests/browser/phone/test_data.py",
    "tests/browser/screens/test_other_screens.py",
    "tests/browser/screens/test_hurt_screen.py",
    "tests/browser/phone/test_worker_faults.py",
    "tests/browser/job/test_week.py",
    "tests/browser/screens/test_copies.py",
    "tests/browser/screens/test_every_state.py",
    "tests/browser/job/test_crashed_tabs.py",
    "tests/browser/job/test_round_trip.py",
)
"""What takes a minute and more: workers take whole files, and one of these would be the last, and alone."""


class NothingSkipped:
    """Turns a skipped browser test or module into a failed run."""

    def __init__(self) -> None:
        self.faults: list[str] = []

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """Counts any module that skips itself: it has no marks yet."""
        if report.skipped:
            self.faults.append(f"{report.nodeid} was skipped")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.skipped and BROWSER_MARKS & set(report.keywords):
            self.faults.append(f"{report.nodeid} was skipped")

    @pytest.hookimpl(tryfirst=True)
    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if self.faults and session.exitstatus in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        for fault in self.faults:
            terminalreporter.write_line(f"This run fails: {fault}.", red=True)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Brings the files that take longest to the front."""
    places = {name: place for place, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: places.get(item.nodeid.partition("::")[0], len(places)))


def pytest_configure(config: pytest.Config) -> None:
    if os.environ.get("NOTHING_SKIPPED") and not hasattr(config, "workerinput"):
        config.pluginmanager.register(NothingSkipped())
