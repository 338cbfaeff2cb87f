"""Forks of this process that work with a limit of processor time and of memory, a few at once."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

WAITED_FOR = 6
"""How many times its processor time a fork may last on the clock. † Our judgement, no source."""
MOST_BYTES = 8 << 30
BROKE = 70

Outcome = int | None
"""What the work returned, BROKE where it raised, None where it went on for too long."""


class Fork(NamedTuple):
    work: Callable[[Path], int]
    """Gets a folder of its own, which is removed afterwards."""
    then: Callable[[Outcome, Path], None]
    most_s: float
    tells_faults: bool = False
    """Whether it writes to the error stream; to the output none does."""


class _Running(NamedTuple):
    fork: Fork
    folder: Path
    until: float


def run(forks: Iterable[Fork], at_once: int) -> None:
    running: dict[int, _Running] = {}
    try:
        for fork in forks:
            while len(running) >= at_once:
                _look(running)
            folder = Path(tempfile.mkdtemp())
            until = time.monotonic() + WAITED_FOR * fork.most_s
            running[_begin(fork, folder)] = _Running(fork, folder, until)
        while running:
            _look(running)
    finally:
        for pid in running:
            _end(pid)


def _begin(fork: Fork, folder: Path) -> int:
    sys.stdout.flush()
    sys.stderr.flush()
    if pid := os.fork():
        return pid
    code = BROKE
    try:
        _settle(folder, fork)
        code = fork.work(folder)
    except BaseException:  # noqa: BLE001 - whatever a change leads to is reported
        (folder / "broke").write_text(traceback.format_exc(), encoding="utf-8")
    finally:
        os._exit(code)


def _settle(folder: Path, fork: Fork) -> None:
    os.setsid()
    most_s = int(fork.most_s)
    resource.setrlimit(resource.RLIMIT_CPU, (most_s + 1, most_s + 6))
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    silent = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1) if fork.tells_faults else (0, 1, 2):
        os.dup2(silent, stream)
    own = folder / "home"
    own.mkdir()
    os.environ |= {"TMPDIR": str(own), "HOME": str(own)}
    tempfile.tempdir = None


def _look(running: dict[int, _Running]) -> None:
    """Takes in what has ended, or ends what takes too long, with everything it started."""
    pid, status = os.waitpid(-1, os.WNOHANG)
    if pid in running:
        one = running.pop(pid)
        code = os.waitstatus_to_exitcode(status)
        _end(pid)
        one.fork.then(code if code >= 0 else None, one.folder)
        shutil.rmtree(one.folder, ignore_errors=True)
        return
    for late in [pid for pid, one in running.items() if time.monotonic() > one.until]:
        _end(late)
    time.sleep(0.01)


def _end(group: int) -> None:
    with suppress(ProcessLookupError, PermissionError):
        os.killpg(group, signal.SIGKILL)
