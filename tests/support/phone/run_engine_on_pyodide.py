"""Run the engine's tests on the Python that the phone build ships: CPython 3.14 compiled to WebAssembly.

The tests run against what was packaged: engine and pydantic come from the build's own archive. Node only
carries the runtime; it is the one inside Playwright, so that nothing else has to be installed.
"""

import json
import os
import shutil
import subprocess
import tarfile
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import flet_web
import playwright
from phone_archive import read_library
from phone_trim import trimmed_library
from places import ROOT, SUPPORT
from pyodide_wheels import locked_wheels, wheel_files

ENGINE_TESTS = ("tests/unit/engine", "tests/property/engine")
TEST_LOCK = ROOT / "build" / "locks" / "browser-test.txt"
WHEEL_CACHE = ROOT / ".cache" / "phone-wheels"
LIMIT_S = 600  # only so that a hang ends; nothing is measured against it
RUNNER = SUPPORT / "phone" / "run_engine_on_pyodide.mjs"
ENTRY = "pyodide_suite.py"


@dataclass(frozen=True, kw_only=True)
class SuiteResult:
    """What the packaged Python said of itself and of the tests."""

    python: tuple[int, int]
    platform: str
    exit_code: int
    passed: int
    failed: int
    skipped: int
    output: str


def run_suite(build: Path, tests: Sequence[str] = ENGINE_TESTS) -> SuiteResult:
    """Run tests (paths below the checkout) on a build's own Pyodide, against the engine in its archive."""
    with tempfile.TemporaryDirectory() as scratch:
        suite = Path(scratch)
        stage_suite(build, suite)
        command = [_node(), str(RUNNER), str(build.resolve()), str(suite), ENTRY, *tests]
        done = subprocess.run(command, capture_output=True, text=True, timeout=LIMIT_S, env=_environment())
        report = suite / "report.json"
        if not report.is_file():
            raise RuntimeError(f"the packaged Python gave no report:\n{done.stdout}\n{done.stderr}")
        return _result(json.loads(report.read_text(encoding="utf-8")), output=done.stdout + done.stderr)


def stage_suite(build: Path, suite: Path) -> None:
    """Lay out in suite what a checkout would hold: the packaged app, the tests, their settings and wheels."""
    with tarfile.open(build / "app.tar") as archive:
        for member in archive:
            _write(suite / member.name, archive.extractfile(member).read())
    shutil.copytree(ROOT / "tests", suite / "tests", ignore=shutil.ignore_patterns("browser", "__pycache__"))
    shutil.copyfile(ROOT / "pyproject.toml", suite / "pyproject.toml")
    shutil.copyfile(SUPPORT / "phone" / ENTRY, suite / ENTRY)
    for name, content in packages_of_tests().items():
        _write(suite / "test_packages" / name, content)


def packages_of_tests() -> dict[str, bytes]:
    """What the tests need beside the build: their wheels, and what it left out of the standard library."""
    library = read_library(Path(flet_web.get_package_web_dir()) / "pyodide" / "python_stdlib.zip")
    left_out = library.keys() - trimmed_library(library).keys()
    found = {name: library[name] for name in left_out if not name.startswith("encodings/")}
    for wheel in locked_wheels([TEST_LOCK], cache=WHEEL_CACHE):
        found |= dict(wheel_files(wheel))
    return found


def _write(target: Path, content: bytes) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(content)


def _result(report: dict[str, int | str | list[int]], *, output: str) -> SuiteResult:
    major, minor = report.pop("python")
    return SuiteResult(python=(major, minor), output=output, **report)


def _node() -> str:
    carried = Path(playwright.__file__).parent / "driver" / ("node.exe" if os.name == "nt" else "node")
    found = str(carried) if carried.exists() else shutil.which("node")
    if found is None:
        raise RuntimeError("no Node: neither inside Playwright nor on the path")
    return found


def _environment() -> dict[str, str]:
    """The environment without the outer pytest's settings, which would reach the inner one."""
    outer = ("PYTEST", "NODE_", "HYPOTHESIS")
    return {name: value for name, value in os.environ.items() if not name.startswith(outer)}
