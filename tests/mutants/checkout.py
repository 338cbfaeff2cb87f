"""Copies of the checkout, in which tests run with one change at a time."""

from __future__ import annotations

import ast
import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from mutants.changes import PACKAGES, Mutant, functions
from mutants.noting import digest, kept_as
from places import ROOT

FLAGS = ("-q", "--no-header", "--tb=no", "-m", "not browser and not phone and not engines")
SLOWER, STARTING_S = 4, 20
"""How many times the usual the tests may take, and how long a start may: longer is noticed. † Our judgement,
no source."""
WAITED_FOR = 6
"""How many times its processor time a run may last on the clock. † Our judgement, no source."""
IMPORTED, TOO_LONG = "what is imported", "its time"
FAILED, BROKEN_OFF, NO_TESTS = 1, 2, 5
TESTS = ("tests/unit", "tests/property", "tests/external", "tests/golden")


def copied(to: Path) -> Path:
    """A copy of everything that git knows or would add."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=True, text=True).stdout
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).is_file():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, to / name)
    (to / ".venv").symlink_to(sys.prefix)
    return to


@contextmanager
def changed(folder: Path, mutant: Mutant) -> Iterator[None]:
    """A folder with a change in it. The first file keeps its time, so what was compiled of it stays good."""
    path = folder / mutant.file
    first = path.rename(path.with_suffix(".first"))
    path.write_bytes(mutant.made_in(first.read_bytes()))
    try:
        yield
    finally:
        first.replace(path)


def note(folder: Path, files: Sequence[str], notes: Path, at_once: int) -> None:
    """Notes what each test of these files enters, in a folder that is good for nothing else afterwards."""
    for path in (path for name in PACKAGES for path in (folder / name).rglob("*.py")):
        tree = ast.parse(path.read_bytes())
        for name, node in functions(path.relative_to(folder).as_posix(), tree.body):
            entry = ast.parse(f"__entered__.add({name!r})").body[0]
            node.body.insert(int(ast.get_docstring(node) is not None), entry)
        begin = "\nimport builtins\nvars(builtins).setdefault('__entered__', set())"
        is_first = path.parent.parent == folder and path.name == "__init__.py"
        path.write_text(ast.unparse(tree) + begin * is_first, encoding="utf-8")
    workers = ["-n", str(at_once), "--dist", "loadfile"]
    run_pytest(folder, ["-p", "mutants.noting", *workers, *files], None, MUTANTS_NOTES=notes)


def not_noted(notes: Path) -> list[str]:
    """The files of tests that have no notes yet, or have changed since."""
    there = {path.name: json.loads(path.read_bytes())["digest"] for path in notes.glob("*.json")}
    files = (path for name in TESTS for path in sorted((ROOT / name).rglob("test_*.py")))
    named = {path.relative_to(ROOT).as_posix(): path for path in files}
    return [name for name, path in named.items() if there.get(kept_as(name)) != digest(path)]


def failing(folder: Path, tests: Sequence[str], usual_s: float) -> str:
    """The first of the tests that fails in a folder, or what else went wrong; empty where nothing did."""
    if not tests:
        return ""
    most_s = SLOWER * usual_s + STARTING_S
    asked, files = folder / "chosen.txt", dict.fromkeys(map(file_of, tests))
    asked.write_text("\n".join([str(int(most_s)), *tests]), encoding="utf-8")
    failed = asked.with_suffix(".failed")
    failed.unlink(missing_ok=True)
    arguments = ["-x", "-p", "mutants.chosen", *files]
    code = run_pytest(folder, arguments, WAITED_FOR * most_s, MUTANTS_TESTS=asked)
    if code in (0, NO_TESTS):
        return ""
    if code in (FAILED, BROKEN_OFF):
        return failed.read_text(encoding="utf-8") if failed.is_file() else IMPORTED
    return TOO_LONG if code < 0 else f"pytest's exit code {code}"


def run_pytest(folder: Path, arguments: Collection[str], most_s: float | None, **variables: object) -> int:
    """The exit code of pytest; everything it started is ended with it."""
    own = folder / "own"
    own.mkdir(exist_ok=True)
    own_variables = {"TMPDIR": own, "HOME": own, "PYTHONPATH": ROOT / "tests"} | variables
    process = subprocess.Popen(
        [sys.executable, "-m", "pytest", *FLAGS, *arguments],
        cwd=folder,
        env=os.environ | {name: str(value) for name, value in own_variables.items()},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        return process.wait(most_s)
    except subprocess.TimeoutExpired:
        return -signal.SIGKILL
    finally:
        with suppress(ProcessLookupError, PermissionError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        shutil.rmtree(own, ignore_errors=True)


def file_of(test: str) -> str:
    return test.partition("::")[0]
