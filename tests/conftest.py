"""Rules of the whole run: a browser test that was skipped is a failure where the run says that nothing may be."""

import os

import pytest

BROWSER_MARKS = frozenset({"browser", "phone"})


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Quick tests first, so that a plain mistake shows before a browser starts."""
    items.sort(key=lambda item: bool(BROWSER_MARKS & {mark.name for mark in item.iter_markers()}))


class NothingSkipped:
    """Turns a skipped browser test, or a whole run without one, into a failed run."""

    def __init__(self) -> None:
        self.browser_tests = 0
        self.skipped: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if not BROWSER_MARKS & set(report.keywords):
            return
        self.browser_tests += report.when == "call"
        if report.skipped:
            self.skipped.append(report.nodeid)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        whole_run = not session.config.option.keyword and session.config.args == ["tests"]
        if self.skipped or (whole_run and not self.browser_tests):
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        for nodeid in self.skipped:
            terminalreporter.write_line(f"SKIPPED, WHICH FAILS THIS RUN: {nodeid}", red=True)


def pytest_configure(config: pytest.Config) -> None:
    if os.environ.get("NOTHING_SKIPPED"):
        config.pluginmanager.register(NothingSkipped())
