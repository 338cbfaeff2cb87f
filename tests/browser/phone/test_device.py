"""The offline build on a device: what it cannot do is said once and replaced, its screen stays on."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from flutter_page import VOICES, WAKE_LOCKS
from phone_server import ROOT, serve_folder
from phone_visits import reloaded, visited
from playwright.sync_api import BrowserContext, Page, expect
from walk import on_warm_up, shown, tap

from companion.views.session.setup import NOTHING_FELT

pytestmark = [pytest.mark.browser, pytest.mark.phone]

NO_VIBRATION = "delete Navigator.prototype.vibrate;"
HELD = "locks => window.__locks.map((lock) => lock.held).join() === locks"

# The page's own part of starting Python, with the worker noted instead of started.
STARTING = """<!DOCTYPE html><html lang="en"><script>
window.asked = [];
window.inSession = true;
const controller = location.hash === "#past-the-worker" ? null : {};
Object.defineProperty(navigator, "serviceWorker", { value: { controller } });
window.Worker = class {
  postMessage({ kind, mayRemember }) {
    asked.push(mayRemember ? `${kind} from memory` : kind);
    const connected = { kind: "connected", fromMemory: false };
    if (kind === "connect") setTimeout(() => this.onmessage({ data: connected }));
  }
};
var companionPage = { inSession: () => inSession };
var companionWindow = { controlled: Promise.resolve(), whole: Promise.resolve(), listen() {} };
</script><script src="python.js"></script></html>"""


def test_a_device_without_vibration_speaks_says_so_once_and_keeps_its_screen_on(
    phone_host: Path, context: BrowserContext
) -> None:
    for script in (NO_VIBRATION, VOICES, WAKE_LOCKS):
        context.add_init_script(script)
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        shown(page, NOTHING_FELT)
        tap(page, "Try the cues")
        tap(page, "Try Work")
        page.wait_for_function("() => window.__spoken.length > 0")
        assert page.evaluate("window.__spoken[0].split(' / ')[1]") == "near"
        tap(page, "Back")
        tap(page, "Start")
        on_warm_up(page)
        page.wait_for_function(HELD, arg="true")
        assert page.evaluate("companionPage.inSession()")
        page.evaluate("window.__locks[0].release()")  # as a browser does when the page is hidden
        page.evaluate("window.__show('hidden')")
        page.evaluate("window.__show('visible')")
        page.wait_for_function(HELD, arg="false,true")

        reloaded(page)
        tap(page, "End here and log")
        tap(page, "Save")
        tap(page, "Next session")
        shown(page, "How many minutes?")
        expect(page.get_by_text(NOTHING_FELT)).to_have_count(0)


@pytest.fixture
def python_page(context: BrowserContext, tmp_path: Path) -> Iterator[tuple[Page, str]]:
    """A window whose clock is in the test's hand, and the address of a page that only starts Python."""
    shutil.copyfile(ROOT / "build" / "web" / "python.js", tmp_path / "python.js")
    (tmp_path / "index.html").write_text(STARTING, encoding="utf-8")
    with serve_folder(tmp_path) as origin:
        page = context.new_page()
        page.clock.install()
        yield page, f"{origin}/"


CONNECT = "() => { jsConnect('client', {}, () => {}); }"


def test_no_second_python_is_started_beside_a_session(python_page: tuple[Page, str]) -> None:
    page, url = python_page
    page.goto(url)
    page.evaluate(CONNECT)
    page.clock.run_for(60_000)
    assert page.evaluate("asked") == ["begin from memory", "connect"]
    page.evaluate("window.inSession = false")
    page.clock.run_for(60_000)
    page.wait_for_function("() => asked.length > 2")
    assert page.evaluate("asked") == ["begin from memory", "connect", "remember"]


def test_a_page_that_the_service_worker_does_not_serve_takes_no_memory_and_keeps_none(
    python_page: tuple[Page, str],
) -> None:
    """It may be of another version than the memory, whose modules it then mixed with its own."""
    page, url = python_page
    page.goto(f"{url}#past-the-worker")
    page.evaluate(CONNECT)
    page.evaluate("window.inSession = false")
    page.clock.run_for(60_000)
    assert page.evaluate("asked") == ["begin", "connect"]
