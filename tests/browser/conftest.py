"""Fixtures of the browser tests: one Chromium a module, a fresh profile a test, the application in a process.

Playwright's synchronous interface keeps an event loop running in this thread, so it ends with each module:
other tests of the same run may then use loops of their own.
"""

import os
import queue
import re
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from flutter_page import PHONE, RECORD_VIBRATIONS
from playwright.sync_api import Browser, BrowserContext, sync_playwright

if TYPE_CHECKING:
    from cue_server import CueServer

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--enable-unsafe-swiftshader",
    "--disable-features=AutofillServerCommunication",  # the browser would ask its maker about each form
]
START_LIMIT_S = 60  # only so that a hang ends
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/?")

StartApp = Callable[..., str]


def chromium_path() -> str:
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.fail(
            "no Chromium: install the chromium package, or name one in the environment variable CHROMIUM"
        )
    return found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def phone_host(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder as a host would serve it, with the offline build in its sub-folder app/: one for the run."""
    from phone_server import build_phone

    root = tmp_path_factory.mktemp("host")
    build_phone(root / "app", "--unpacked")
    return root


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A fresh profile at phone size whose pages record their vibrations (`flutter_page.vibrations`)."""
    context = browser.new_context(viewport=PHONE, locale="en-GB", timezone_id="Europe/Lisbon")
    context.add_init_script(RECORD_VIBRATIONS)
    yield context
    context.close()


@pytest.fixture(scope="module")
def cue_server() -> Iterator["CueServer"]:
    """The real server with the smallest application; imported late, for most tests want the whole one."""
    from cue_server import CueServer

    server = CueServer()
    server.start()
    yield server
    server.stop()


@pytest.fixture(scope="module")
def start_app() -> Iterator[StartApp]:
    """Starts `python -m companion.app` on a data folder; returns the address it printed.

    start_app(data_dir, *more_arguments) -> "http://127.0.0.1:PORT/"
    """
    started: list[subprocess.Popen[str]] = []

    def start(data_dir: Path, *more: str) -> str:
        command = [
            sys.executable,
            "-m",
            "companion.app",
            "--port",
            "0",
            "--data",
            str(data_dir),
            "--no-open",
            *more,
        ]
        process = subprocess.Popen(
            command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8"
        )
        started.append(process)
        return _address_printed(process)

    yield start
    for process in started:
        process.terminate()
    for process in started:
        try:
            process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


@pytest.fixture(scope="module")
def app_url(start_app: StartApp, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The application on an empty data folder of its own, one for the module."""
    return start_app(tmp_path_factory.mktemp("companion"))


def _address_printed(process: subprocess.Popen[str]) -> str:
    """Reads on in the background after the address has come: the process never waits for its output."""
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
