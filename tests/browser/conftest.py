"""Fixtures of the browser tests: one Chromium a module, a fresh profile a test, the application in a process.

Playwright's synchronous interface keeps an event loop running in this thread, so it ends with each module:
other tests of the same run may then use loops of their own.
"""

import fcntl
import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from app_process import App, new_process
from chromium import CHROMIUM_ARGUMENTS, WITHOUT_WEBGL, chromium_path, light_chromium_path
from flutter_page import PHONE, RECORD_VIBRATIONS, seen
from forked_process import ForkedProcess
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

if TYPE_CHECKING:
    from cue_server import CueServer

StartApp = Callable[..., str]


def as_at_home(request: pytest.FixtureRequest) -> bool:
    """Whether a module says ``AS_AT_HOME = True``: it wants all of Chromium, and the application started by
    its command. The others take what starts faster and runs the same."""
    return bool(getattr(request.module, "AS_AT_HOME", False))


@pytest.fixture(scope="module")
def browser(request: pytest.FixtureRequest) -> Iterator[Browser]:
    """Chromium's shell, or all of Chromium ``AS_AT_HOME``; a module that looks at what is drawn says
    ``WITH_WEBGL = True``."""
    arguments = CHROMIUM_ARGUMENTS if getattr(request.module, "WITH_WEBGL", False) else WITHOUT_WEBGL
    path = chromium_path() if as_at_home(request) else light_chromium_path()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=arguments)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def phone_host(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder as a host would serve it, with the offline build in app/.

    It is made once for all workers of a run, and for all runs that are told the same PHONE_HOST.
    """
    from phone_server import build_phone

    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    root = Path(os.environ.get("PHONE_HOST", shared / "host"))
    with root.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not root.exists():
            made = root.with_suffix(".made")
            build_phone(made / "app", "--unpacked")
            made.rename(root)
    return root


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A fresh profile at phone size whose pages record their vibrations (`flutter_page.vibrations`)."""
    context = browser.new_context(viewport=PHONE, locale="en-GB", timezone_id="Europe/Lisbon")
    context.add_init_script(RECORD_VIBRATIONS)
    yield context
    context.close()


@pytest.fixture
def refusing(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    """A window of a browser whose person allows no page to keep anything."""
    settings = {"profile": {"default_content_setting_values": {"cookies": 2}}}
    (tmp_path / "Default").mkdir()
    (tmp_path / "Default" / "Preferences").write_text(json.dumps(settings), encoding="utf-8")
    context = browser.browser_type.launch_persistent_context(
        tmp_path, executable_path=chromium_path(), args=CHROMIUM_ARGUMENTS, viewport=PHONE
    )
    yield context.pages[0]
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
def start(request: pytest.FixtureRequest) -> Iterator[Callable[..., App]]:
    """Starts the application on a data folder: start(data_dir, *more_arguments, port=0)."""
    started: list[App] = []
    process = new_process if as_at_home(request) else ForkedProcess

    def begin(*arguments: Any, **more: Any) -> App:
        started.append(App(*arguments, process=process, **more))
        return started[-1]

    yield begin
    for app in started:
        app.stop()


@pytest.fixture(scope="module")
def start_app(start: Callable[..., App]) -> StartApp:
    """As start, but only the address: start_app(data_dir, *more_arguments) -> "http://127.0.0.1:PORT/"."""
    return lambda *arguments: start(*arguments).url


@pytest.fixture(scope="module")
def app_url(start_app: StartApp, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The application on an empty data folder of its own, one for the module."""
    return start_app(tmp_path_factory.mktemp("companion"))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Function, call: pytest.CallInfo[None]) -> Iterator[Any]:
    """Adds to the report of a failed test what its windows showed."""
    report = yield
    if call.when == "call" and report.failed and isinstance(item.funcargs.get("context"), BrowserContext):
        report.sections += [("Window", seen(page)) for page in item.funcargs["context"].pages]
    return report
