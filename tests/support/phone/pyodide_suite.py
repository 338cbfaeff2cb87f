"""Runs inside the packaged Pyodide: pytest over the paths given, and a report of what was run."""

import json
import sys
from pathlib import Path

SUITE = Path.cwd()
sys.dont_write_bytecode = True
sys.path[:0] = [str(SUITE / folder) for folder in ("", "__pypackages__", "test_packages")]

import hypothesis  # noqa: E402
import pytest  # noqa: E402

# WebAssembly runs Python several times slower than a desktop, where the laws are searched in full. Here each
# gets a few fixed examples, enough to show that this Python agrees.
hypothesis.settings.register_profile("phone", max_examples=10, deadline=None, database=None, derandomize=True)


class Count:
    """Counts tests by how they ended; a set-up or tear-down that breaks is a failure too."""

    def __init__(self) -> None:
        self.ended = {"passed": 0, "failed": 0, "skipped": 0}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call" or report.outcome != "passed":
            self.ended[report.outcome] += 1


count = Count()
alike = ["-o", "addopts=", "-p", "no:cacheprovider", "--import-mode=importlib"]
options = [*alike, "-q", "--tb=short", "--hypothesis-profile=phone"]
exit_code = pytest.main([*options, *sys.argv[1:]], plugins=[count])
report = {"python": sys.version_info[:2], "platform": sys.platform, "exit_code": exit_code, **count.ended}
(SUITE / "report.json").write_text(json.dumps(report), encoding="utf-8")
