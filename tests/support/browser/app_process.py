"""The application in a process of its own, which can be killed, and the way into it for a browser."""

import queue
import re
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO
from urllib.parse import urlsplit

import pytest
from forked_process import ForkedProcess
from places import ROOT
from playwright.sync_api import BrowserContext, Page

START_LIMIT_S = 60  # only so that a hang ends
ADDRESS = re.compile(r"(http://127\.0\.0\.1:\d+/)open/\S+")

_next_address: dict[str, Callable[[], str]] = {}
"""What gives the next unused address of a server, by the beginning of its addresses."""


Process = subprocess.Popen[str] | ForkedProcess


def new_process(arguments: Sequence[str]) -> Process:
    """`python -m companion.app`, as a person starts it."""
    return subprocess.Popen(
        [sys.executable, "-m", "companion.app", *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
    )


class App:
    """The application on a data folder; `url` is for a browser that `enter` has let in."""

    def __init__(
        self,
        data_dir: Path,
        *more: str,
        port: int = 0,
        process: Callable[[Sequence[str]], Process] = new_process,
    ) -> None:
        self.process = process(["--port", str(port), "--data", str(data_dir), "--no-open", *more])
        self._lines = _lines_of(self.process.stdout)
        address = self._printed()
        self.url = origin_of(address)
        self._unused = [address]
        gives_addresses(self.url, self.next_address)

    def next_address(self) -> str:
        """An address that was printed and not given out here yet; waits for it."""
        return self._unused.pop() if self._unused else self._printed()

    def _printed(self) -> str:
        """Waits for the next address that it prints."""
        said: list[str] = []
        while True:
            try:
                line = self._lines.get(timeout=START_LIMIT_S)
            except queue.Empty:
                pytest.fail(f"the application printed no address within {START_LIMIT_S} s:\n{''.join(said)}")
            if line is None:
                pytest.fail(f"the application ended with {self.process.wait()}:\n{''.join(said)}")
            said.append(line)
            if found := ADDRESS.search(line):
                return found[0]

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


def origin_of(address: str) -> str:
    """The beginning of an address of the server, without its secret."""
    found = ADDRESS.fullmatch(address)
    assert found, address
    return found[1]


def gives_addresses(url: str, next_address: Callable[[], str]) -> None:
    """Notes what gives the unused addresses of the server at ``url``."""
    _next_address[url] = next_address


def enter(page: Page, url: str) -> None:
    """Goes to ``url``, by an unused address where this browser has not been let in yet."""
    parts = urlsplit(url)
    root = f"{parts.scheme}://{parts.netloc}/"
    known = any(cookie.get("name") == f"companion-{parts.port}" for cookie in page.context.cookies(root))
    if root in _next_address and not known:
        page.goto(_next_address[root]() + (f"#{parts.fragment}" if parts.fragment else ""))
    else:
        page.goto(url)


def let_in(context: BrowserContext, url: str) -> None:
    """Has a browser let in by the server at ``url`` without opening its page."""
    context.request.get(_next_address[url](), max_redirects=0)


def _lines_of(output: IO[str] | None) -> queue.Queue[str | None]:
    """What a process prints; a thread reads on, so that the process never waits for its output."""
    assert output is not None
    lines: queue.Queue[str | None] = queue.Queue()

    def read() -> None:
        for line in output:
            lines.put(line)
        lines.put(None)

    threading.Thread(target=read, daemon=True).start()
    return lines
