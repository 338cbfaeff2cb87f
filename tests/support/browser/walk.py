"""A way through the application that stops at every screen, by accessible names."""

import re
from collections.abc import Iterator
from contextlib import suppress
from time import monotonic

from app_process import enter
from flutter_page import enable_semantics
from playwright.sync_api import BrowserContext, Locator, Page
from playwright.sync_api import Error as PlaywrightError

LIMIT_MS = 60_000  # only so that a hang ends
GONE_MS = 5_000
LOOK_MS = 250


def opened(context: BrowserContext, url: str) -> Page:
    page = context.new_page()
    enter(page, url)
    enable_semantics(page)
    return page


def tap(page: Page, name: str) -> None:
    """Presses a button by the beginning of its accessible name."""
    button = page.get_by_role("button", name=re.compile(f"^{re.escape(name)}"))
    button.first.wait_for(timeout=LIMIT_MS)
    press(page, button.first)


def press(page: Page, target: Locator) -> None:
    """Clicks once the target has stopped moving: a growing screen moves other things under the click."""
    before = None
    for _ in range(200):
        try:
            now = target.bounding_box(timeout=GONE_MS)
        except PlaywrightError:  # the screen has gone on by itself
            return
        if now is not None and now == before:
            with suppress(PlaywrightError):  # it went away between the look and the click, and comes again
                target.click(force=True)
                return
        before = now
        page.wait_for_timeout(100)
    raise AssertionError(f"{target} never stood still")


def shown(page: Page, text: str) -> None:
    page.get_by_text(re.compile(text)).first.wait_for(timeout=LIMIT_MS)


def there(page: Page, text: str) -> None:
    """Waits for words anywhere on the page, also beyond what is in view."""
    page.get_by_text(text).first.wait_for(state="attached", timeout=LIMIT_MS)


def on_warm_up(page: Page) -> None:
    """Waits for the warm-up itself; before a session its word is only that of a mark on the strip."""
    shown(page, "Something hurts")
    shown(page, "Warm-up")


def minutes_chosen(page: Page, minutes: int) -> None:
    """Waits for the number itself: a change is announced too, as a text that is there for a moment only."""
    page.get_by_role("group", name=f"{minutes} minutes").first.wait_for(timeout=LIMIT_MS)


def to_work(page: Page) -> None:
    """Goes from the first screen of a folder with the short plan to its first work interval."""
    tap(page, "I have read this")
    tap(page, "One")
    tap(page, "Start")
    tap(page, "Done")
    shown(page, "Changeover")
    tap(page, "Skip")
    shown(page, "Get ready")
    tap(page, "Skip")
    shown(page, "left side")


def every_screen(page: Page, url: str) -> Iterator[str]:
    """Yields the name of each screen while the page shows it; the folder has to be fresh."""
    enter(page, url)
    enable_semantics(page)
    shown(page, "I have read this")
    yield "cautions"
    tap(page, "I have read this")
    shown(page, "How many minutes")
    yield from _before(page)
    yield from _on_the_clock(page)
    tap(page, "End here and log")
    shown(page, "How was it")
    yield "log"
    tap(page, "Save")
    shown(page, "1 session")
    yield "week"
    tap(page, "Week before")
    shown(page, "No session in this week")
    yield "empty-week"


def _besides(page: Page) -> Iterator[str]:
    """Goes through the screens linked at the end of the first one, and back from each."""
    for name, sign in (("Kit and weights", "Last weights"), ("Cues", "Try each"), ("Settings", "Weights in")):
        tap(page, name)
        shown(page, sign)
        yield name.split()[0].lower()
        tap(page, "Back")
        shown(page, "How many minutes")
    tap(page, "Plans")
    shown(page, "Open a file")
    yield "plans"
    tap(page, "What ")
    shown(page, "Short of time")
    yield "plan"
    tap(page, "Change this plan")
    shown(page, "Minutes as planned")
    tap(page, "3. Work")
    page.get_by_role("textbox", name="After a round").wait_for(timeout=LIMIT_MS)
    yield "desk"
    tap(page, "Back")
    shown(page, "Open a file")
    tap(page, "Back")
    shown(page, "How many minutes")


def _before(page: Page) -> Iterator[str]:
    tap(page, "Two")
    yield "setup"
    yield from _besides(page)
    for _ in range(4):
        tap(page, "5 minutes less")
    shown(page, "Nothing to start")
    yield "nothing-fits"
    for _ in range(4):
        tap(page, "5 minutes more")
    tap(page, "Start")
    on_warm_up(page)
    yield "warm-up"


def _on_the_clock(page: Page) -> Iterator[str]:
    _until(page, "^Changeover", by="Done", missed="Previous")
    yield "next-block"
    _until(page, "^Practice", by="Skip")
    _until(page, "First time", by="Skip")
    yield "practice"
    _until(page, r"^Work\b(?!ing)", by="Skip")
    yield "work"
    _until(page, "^Rest", by="Skip")
    yield "rest"
    tap(page, "Pause")
    shown(page, "Paused")
    yield "paused"
    tap(page, "Something hurts")
    shown(page, "Stop. Weight down")
    yield "hurt"
    tap(page, "Nothing hurts, go back")
    shown(page, "Paused")


def _until(page: Page, text: str, *, by: str, missed: str = "") -> None:
    """Presses a button until a text is shown; steps back to it if a busy machine has let it pass."""
    end = monotonic() + LIMIT_MS / 1000
    while monotonic() < end:
        page.wait_for_timeout(LOOK_MS)
        if page.get_by_text(re.compile(text)).count():
            return
        wanted, back = (page.get_by_role("button", name=re.compile(f"^{one}")) for one in (by, missed))
        if wanted.count():
            press(page, wanted.first)
        elif missed and back.count():
            press(page, back.first)
    raise AssertionError(f"{text} never came")
