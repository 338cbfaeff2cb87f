"""What other browsers lack or tell, tried in Chromium: no storage to ask about, language tags that are none.

WebKitGTK has no `navigator.storage`, and tells the language tag “c” where no language is set.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flutter_page import IN_PLACE, LAID_OUT
from phone_server import serve_folder
from phone_visits import await_kept, await_memory, hosted, reloaded, said, visited
from playwright.sync_api import BrowserContext, Page, expect
from version_host import FIND, KEEP, Host
from walk import LIMIT_MS, on_warm_up, opened, shown, tap, there

from companion.views.home.backup import KEPT, SAVE
from companion.views.session.setup import HOME_SCREEN

pytestmark = [pytest.mark.browser, pytest.mark.phone]

NO_STORAGE = "delete Navigator.prototype.storage;"
ODD_LANGUAGES = """
const told = { language: "c", languages: ["c", "en-US@posix", "de-AT"] };
for (const [name, value] of Object.entries(told))
  Object.defineProperty(Navigator.prototype, name, { configurable: true, get: () => value });"""
PERSIST = "StorageManager.prototype.persist = "
FOR_GOOD = "Ready without network. This browser keeps your records until you remove them."
NOT_FOR_GOOD = (
    "Ready without network. This browser may clear your records when it runs out of room: save a backup now "
    "and then."
)
ANSWERS = {
    "it keeps them": (f"{PERSIST}async () => true;", FOR_GOOD),
    "it does not": (f"{PERSIST}async () => false;", NOT_FOR_GOOD),
    "it fails": (f"{PERSIST}async () => {{ throw new TypeError('no'); }};", NOT_FOR_GOOD),
    "it never answers": (f"{PERSIST}() => new Promise(() => {{}});", "Ready without network."),
    "nobody to ask": ("delete StorageManager.prototype.persist;", NOT_FOR_GOOD),
    "nothing at all": (NO_STORAGE, NOT_FOR_GOOD),
}
SEVEN_DAYS = (
    "Ready without network. Safari clears your records after seven days without a visit: save a backup now "
    "and then."
)
APPLE = """Object.defineProperties(Navigator.prototype, {
  vendor: { configurable: true, get: () => "Apple Computer, Inc." },
  platform: { configurable: true, get: () => "%s" },
  maxTouchPoints: { configurable: true, get: () => %d },
  standalone: { configurable: true, get: () => %s },
});"""
IPHONE = APPLE % ("iPhone", 5, "false")
TABLET = APPLE % ("MacIntel", 2, "false")
"""With more points of touch the client waits for a finger before it names what it draws."""
DEVICES = {
    "an iPhone": (IPHONE, "home_screen", "Ready without network."),
    "an iPad that calls itself a Mac": (
        APPLE % ("MacIntel", 5, "false"),
        "home_screen",
        "Ready without network.",
    ),
    "the Home Screen": (APPLE % ("iPhone", 5, "true"), "while_room", NOT_FOR_GOOD),
    "a Mac": (APPLE % ("MacIntel", 0, "false"), "seven_days", SEVEN_DAYS),
    "the same engine elsewhere": (APPLE % ("Linux x86_64", 0, "false"), "while_room", NOT_FOR_GOOD),
}
"""What each says of itself (from memory: no such device was at hand), and what the page makes of it."""
ESTIMATES = {
    "nothing at all": (NO_STORAGE, 640_000),
    "nobody to ask": ("delete StorageManager.prototype.estimate;", 640_000),
    "no room": ("StorageManager.prototype.estimate = async () => ({ quota: 9, usage: 8 });", "none"),
}


@pytest.fixture
def faults(context: BrowserContext) -> list[str]:
    """What no part of a page caught."""
    found: list[str] = []
    context.on("weberror", lambda fault: found.append(str(fault.error)))
    return found


def test_the_offline_build_starts_and_is_kept_where_nothing_can_be_asked_about_storage(
    phone_host: Path, context: BrowserContext, faults: list[str]
) -> None:
    context.add_init_script(NO_STORAGE)
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        assert page.evaluate("navigator.storage === undefined")
        shown(page, "I have read this")
        await_kept(page)
        said(page, NOT_FOR_GOOD)
        await_memory(page)
    context.set_offline(True)
    reloaded(page)
    tap(page, "I have read this")
    tap(page, "Start")
    on_warm_up(page)
    assert faults == []


def test_the_local_application_starts_where_nothing_can_be_asked_about_storage(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path, faults: list[str]
) -> None:
    context.add_init_script(NO_STORAGE)
    page = opened(context, start_app(tmp_path))
    assert page.evaluate("navigator.storage === undefined")
    tap(page, "I have read this")
    tap(page, "Start")
    on_warm_up(page)
    assert page.evaluate(LAID_OUT) == IN_PLACE
    expect(page.get_by_text("keeps your records")).to_have_count(0)  # a folder keeps them, not the browser
    assert faults == []


def first_visit(context: BrowserContext, build: Path, root: Path, origin: str) -> Page:
    """The page of a small build, without the application, at its first visit."""
    hosted(root, build)
    page = context.new_page()
    page.goto(f"{origin}/app/")
    page.evaluate("document.getElementById('starting').remove()")  # nothing is drawn that would do it
    return page


def word_on(page: Page) -> str:
    """What the page itself says, once it says something."""
    line = page.locator("#word span")
    line.wait_for(state="attached")
    return line.inner_text()


@pytest.mark.parametrize("answer", ANSWERS)
def test_the_page_says_what_the_browser_promises_about_the_records_and_nothing_it_does_not_know(
    context: BrowserContext, small: Path, tmp_path: Path, answer: str
) -> None:
    script, sentence = ANSWERS[answer]
    context.add_init_script(script)
    with serve_folder(tmp_path) as origin:
        page = first_visit(context, small, tmp_path, origin)
        assert word_on(page) == sentence


@pytest.mark.parametrize("device", DEVICES)
def test_the_seven_days_of_apples_browsers_are_said_where_they_hold_and_nowhere_else(
    context: BrowserContext, small: Path, tmp_path: Path, device: str
) -> None:
    """The application explains the Home Screen, so that the page's own line leaves it out."""
    script, records, sentence = DEVICES[device]
    context.add_init_script(ANSWERS["it does not"][0])
    context.add_init_script(script)
    with serve_folder(tmp_path) as origin:
        page = first_visit(context, small, tmp_path, origin)
        assert word_on(page) == sentence
        assert page.evaluate("companionWindow.records()") == records


def test_on_a_tablet_of_apples_the_home_screen_is_explained_once_and_a_backup_is_saved_from_there(
    phone_host: Path, context: BrowserContext
) -> None:
    context.add_init_script(ANSWERS["it does not"][0])
    context.add_init_script(TABLET)
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        shown(page, HOME_SCREEN)
        with page.expect_download():
            tap(page, SAVE)
        shown(page, "The backup session-companion")
        tap(page, "All right")
        expect(page.get_by_text(HOME_SCREEN)).to_have_count(0, timeout=LIMIT_MS)
        reloaded(page)
        shown(page, "How many minutes")
        expect(page.get_by_text(HOME_SCREEN)).to_have_count(0)
        tap(page, "Settings")
        there(page, KEPT["home_screen"])


@pytest.mark.parametrize("answer", ESTIMATES)
def test_the_memory_of_python_is_kept_where_the_browser_does_not_say_that_it_has_no_room(
    host: Any, answer: str
) -> None:
    script, kept = ESTIMATES[answer]
    assert isinstance(host, Host)
    host.page.evaluate(script)
    host.page.evaluate(f"async () => {{ try {{ return await ({KEEP})(); }} catch {{}} }}")
    assert host.page.evaluate(FIND) == kept


def test_the_page_of_the_offline_build_has_what_the_page_of_the_local_server_has_for_other_browsers(
    context: BrowserContext, small: Path, tmp_path: Path
) -> None:
    """Its build takes both parts from there."""
    context.add_init_script(ODD_LANGUAGES)
    with serve_folder(tmp_path) as origin:
        page = first_visit(context, small, tmp_path, origin)
        assert page.evaluate("[navigator.language, navigator.languages]") == ["de-AT", ["de-AT"]]
        assert page.evaluate(LAID_OUT) == IN_PLACE
