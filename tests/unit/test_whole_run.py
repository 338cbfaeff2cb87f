"""The run of everything: where its tests are, what comes first, and what fails it although no test failed."""

import ast
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from chromium import light_chromium_path
from dev import CHROMIUM, IN_BROWSERS, SHELL, bring_browsers
from forked_process import IMPORTED
from places import ROOT
from python_files import python_files, shown, tree_of

CONFTEST = ROOT / "tests" / "conftest.py"
BROWSER_TEST = "import pytest\n@pytest.mark.browser\ndef test_page(): {}\n"


def run_of(folder: Path, source: str, *arguments: str, nothing_skipped: str = "1") -> tuple[int, str]:
    """Exit code and output of pytest over one test file and the project's conftest."""
    (folder / "tests").mkdir(exist_ok=True)
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


def test_the_files_that_take_longest_come_first(tmp_path: Path) -> None:
    long = tmp_path / "tests" / "browser" / "screens" / "test_every_screen.py"
    assert (ROOT / long.relative_to(tmp_path)).is_file()
    long.parent.mkdir(parents=True)
    long.write_text("def test_long(): pass\n", encoding="utf-8")
    code, output = run_of(tmp_path, "def test_short(): pass\n", "--collect-only", "--quiet")
    assert code == 0, output
    assert [line.rpartition("::")[2] for line in output.splitlines()[:2]] == ["test_long", "test_short"]


def test_each_file_that_is_said_to_take_long_is_there() -> None:
    (named,) = (
        ast.literal_eval(node.value)
        for node in tree_of(CONFTEST).body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "LONGEST_FIRST"
    )
    assert [name for name in named if not (ROOT / name).is_file()] == []


def test_every_test_for_a_browser_lies_where_the_run_looks_for_them() -> None:
    marks = {"pytest.mark.browser", "pytest.mark.alone", "pytest.mark.engines"}
    marked = {
        shown(path)
        for path in python_files("tests")
        if any(
            ast.unparse(node) in marks for node in ast.walk(tree_of(path)) if isinstance(node, ast.Attribute)
        )
    }
    assert len(marked) > 20
    assert {name for name in marked if not name.startswith(f"{IN_BROWSERS}/")} == set()


def test_chromium_is_enough_where_its_shell_cannot_be_installed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))  # no apt-get either
    monkeypatch.delenv("CHROMIUM", raising=False)
    with pytest.raises(SystemExit, match=f"need {CHROMIUM}, {SHELL}"):
        bring_browsers(CHROMIUM, SHELL)
    for browser in (CHROMIUM, SHELL):
        (tmp_path / browser).touch(mode=0o755)
        bring_browsers(CHROMIUM, SHELL)
        assert light_chromium_path() == str(tmp_path / browser)
    monkeypatch.setenv("CHROMIUM", "/opt/another")
    assert light_chromium_path() == "/opt/another"


@pytest.mark.parametrize("name", IMPORTED)
def test_what_is_imported_before_the_application_is_forked_is_there(name: str) -> None:
    assert importlib.util.find_spec(name)
