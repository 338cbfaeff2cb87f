"""The application in a process of its own, which can be killed."""

import queue
import re
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from places import ROOT

START_LIMIT_S = 60  # only so that a hang ends
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/?")


class App:
    """`python -m companion.app` on a data folder; `url` is the address it printed."""

    def __init__(self, data_dir: Path, *more: str, port: int = 0) -> None:
        command = [sys.executable, "-m", "companion.app", "--port", str(port), "--data", str(data_dir)]
        self.process = subprocess.Popen(
            [*command, "--no-open", *more],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
        )
        self.url = _address_printed(self.process)

    def kill(self) -> None:
        """Kills the process at once, without a chance to close anything."""
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            self.kill()


def _address_printed(process: subprocess.Popen[str]) -> str:
    """Waits for the address; a thread reads on, so that the process never waits for its output."""
    lines: queue.Queue[str | None] = queue.Queue()

    def read() -> None:
        assert process.stdout is not None
        for line in process.stdout:
            lines.put(line)
        lines.put(None)

    threading.Thread(target=read, daemon=True).start()
    said: list[str] = []
    while True:
        try:
            line = lines.get(timeout=START_LIMIT_S)
        except queue.Empty:
            pytest.fail(f"the application printed no address within {START_LIMIT_S} s:\n{''.join(said)}")
        if line is None:
            pytest.fail(f"the application ended with {process.wait()}:\n{''.join(said)}")
        said.append(line)
        if found := ADDRESS.search(line):
            return found[0].rstrip("/") + "/"
