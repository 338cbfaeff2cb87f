"""A run in which nothing may be skipped fails when a browser test was."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from places import ROOT

CONFTEST = ROOT / "tests" / "conftest.py"
BROWSER_TEST = "import pytest\n@pytest.mark.browser\ndef test_page(): {}\n"


def run_of(folder: Path, source: str, *arguments: str, nothing_skipped: str = "1") -> tuple[int, str]:
    """Exit code and output of pytest over one test file and the project's conftest."""
    (folder / "tests").mkdir()
    shutil.copyfile(CONFTEST, folder / "tests" / "conftest.py")
    (folder / "tests" / "test_one.py").write_text(source, encoding="utf-8")
    (folder / "pytest.ini").write_text(
        "[pytest]\ntestpaths = tests\nmarkers =\n    browser\n", encoding="utf-8"
    )
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", *arguments],
        cwd=folder,
        env=os.environ | {"NOTHING_SKIPPED": nothing_skipped, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout


def test_a_browser_test_that_ran_passes(tmp_path: Path) -> None:
    code, output = run_of(tmp_path, BROWSER_TEST.format("pass"))
    assert code == 0, output


def test_a_skipped_browser_test_fails_the_run_and_is_named(tmp_path: Path) -> None:
    code, output = run_of(tmp_path, BROWSER_TEST.format("pytest.skip('no browser')"))
    assert code == 1
    assert "This run fails: tests/test_one.py::test_page was skipped." in output


def test_a_module_that_skips_itself_fails_the_run(tmp_path: Path) -> None:
    code, output = run_of(tmp_path, "import pytest\npytest.importorskip('no_such_module')\n", "-k", "page")
    assert code == 1
    assert "test_one.py was skipped" in output


def test_a_run_of_the_browser_tests_that_finds_none_fails(tmp_path: Path) -> None:
    code, _ = run_of(tmp_path, "def test_sum(): assert 1 + 1 == 2\n", "-m", "browser")
    assert code == pytest.ExitCode.NO_TESTS_COLLECTED


def test_an_ordinary_run_may_skip(tmp_path: Path) -> None:
    code, output = run_of(tmp_path, BROWSER_TEST.format("pytest.skip('no browser')"), nothing_skipped="")
    assert code == 0, output
