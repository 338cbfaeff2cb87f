"""The application as a fork of a process that has imported it already: its start then costs no imports.

``python -m companion.app`` itself, as a person starts it, is for test_door.py, the main job and the benches.
"""

import multiprocessing
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from multiprocessing.connection import Connection
from typing import TextIO

from places import ROOT

IMPORTED = (
    "companion.app",
    "companion.samples.demo",
    "companion.web.port",
    "companion.web.server",
    "companion.window.folder_records",
    "uvicorn.lifespan.on",
    "uvicorn.protocols.http.auto",
    "uvicorn.protocols.websockets.websockets_sansio_impl",
)
"""What the application imports until it answers; a name that is gone only makes each start slower."""

_forks = multiprocessing.get_context("forkserver")
_forks.set_forkserver_preload(list(IMPORTED))


class ForkedProcess:
    """Runs the application with these arguments; the names are those of ``subprocess.Popen``."""

    def __init__(self, arguments: Sequence[str]) -> None:
        reader, writer = _forks.Pipe(duplex=False)
        self._process = _forks.Process(target=_run, args=(writer, list(arguments)), daemon=True)
        self._process.start()
        writer.close()
        self.stdout: TextIO = os.fdopen(os.dup(reader.fileno()), encoding="utf-8")
        reader.close()

    @property
    def pid(self) -> int:
        assert self._process.pid is not None
        return self._process.pid

    def kill(self) -> None:
        self._process.kill()

    def terminate(self) -> None:
        self._process.terminate()

    def wait(self, timeout: float | None = None) -> int:
        """Its exit code; raises ``subprocess.TimeoutExpired``."""
        self._process.join(timeout)
        if self._process.exitcode is None:
            raise subprocess.TimeoutExpired("companion.app", timeout or 0)
        return self._process.exitcode


def _run(output: Connection, arguments: list[str]) -> None:
    """In the fork: what ``python -m companion.app`` does."""
    from companion.app import main

    os.chdir(ROOT)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    os.dup2(output.fileno(), 1)
    os.dup2(output.fileno(), 2)
    output.close()
    sys.stdout = sys.stderr = os.fdopen(1, "w", encoding="utf-8", buffering=1, closefd=False)
    sys.exit(main(arguments))
