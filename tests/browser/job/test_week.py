"""The week looked back on: a question rewritten, a set corrected, a page saved; all of it is kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from flutter_page import enable_semantics
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect
from walk import LIMIT_MS, opened, press, shown, tap

from storage.exchange.coach_page import read_page

pytestmark = pytest.mark.browser

MINE = "How low should the side lunge go?"
FIRST_SESSION = "Open "
"""On which weekdays the demo trains depends on the day it is made: the first session of the week."""
DESK_HIGH = {"width": 1280, "height": 3_000}
"""High enough that nothing has to be scrolled into view."""


@pytest.fixture(scope="module")
def demo(start_app: Callable[..., str], tmp_path_factory: pytest.TempPathFactory) -> str:
    return start_app(tmp_path_factory.mktemp("demo"), "--demo")


def week_of(context: BrowserContext, demo: str) -> Page:
    """The last whole week of the demo: three sessions. The window before lets go of the records by itself."""
    page = opened(context, demo)
    page.set_viewport_size(DESK_HIGH)
    expect(page.get_by_role("button", name="The week")).to_be_visible(timeout=LIMIT_MS)
    expect(page.get_by_role("button", name="Use this window")).to_have_count(0, timeout=LIMIT_MS)
    return to_week(page)


def to_week(page: Page) -> Page:
    tap(page, "The week")
    shown(page, "Done against planned")
    tap(page, "Week before")
    shown(page, "3 sessions")
    return page


def reloaded(page: Page) -> Page:
    page.reload()
    enable_semantics(page)
    shown(page, "3 sessions")
    return page


@pytest.fixture
def elsewhere(browser: Browser, demo: str) -> Iterator[Callable[[], Page]]:
    """The same week in a profile that knows nothing of the first one: all of it was read from the disk."""
    contexts: list[BrowserContext] = []

    def look() -> Page:
        contexts.append(browser.new_context(viewport=DESK_HIGH, locale="en-GB"))
        return to_week(opened(contexts[-1], demo))

    yield look
    for context in contexts:
        context.close()


def question(page: Page) -> Locator:
    return page.get_by_role("textbox", name=re.compile("^Question 1"))


def test_a_question_that_was_rewritten_is_there_after_a_reload(
    context: BrowserContext, demo: str, elsewhere: Callable[[], Page]
) -> None:
    page = week_of(context, demo)
    expect(question(page)).to_be_visible(timeout=LIMIT_MS)
    question(page).click()
    page.keyboard.press("Control+A")
    page.keyboard.type(MINE)
    expect(question(page)).to_have_value(MINE, timeout=LIMIT_MS)
    for looking in (reloaded(page), elsewhere()):
        question(looking).click()  # the client tells what a field holds once it is in it
        expect(question(looking)).to_have_value(MINE, timeout=LIMIT_MS)


def test_a_set_that_was_corrected_is_there_after_a_reload_beside_what_was_said_first(
    context: BrowserContext, demo: str, elsewhere: Callable[[], Page]
) -> None:
    page = week_of(context, demo)
    tap(page, FIRST_SESSION)
    shown(page, "How hard was the session")
    first = page.get_by_role("button", name=re.compile("^Round 1: ")).first
    name = first.inner_text() or first.get_attribute("aria-label") or ""
    tap(page, name.split(",")[0])
    tap(page, "1 repetition less")
    shown(page, "First said: ")
    tap(page, "Save corrections")
    shown(page, "Done against planned")
    for looking in (reloaded(page), elsewhere()):
        tap(looking, FIRST_SESSION)
        shown(looking, "First said: ")
        shown(looking, "Corrected or answered later")
        shown(looking, ": a set")


def test_the_page_for_the_coach_is_saved_without_what_was_left_out(
    context: BrowserContext, demo: str, tmp_path: Path
) -> None:
    page = week_of(context, demo)
    press(page, page.get_by_role("checkbox", name=re.compile("^Pain")))
    with page.expect_download(timeout=LIMIT_MS) as waiting:
        tap(page, "Save the page")
    waiting.value.save_as(tmp_path / "week.html")
    made = read_page((tmp_path / "week.html").read_bytes())
    assert made.choice.left_out == ("pain",)
    assert len(made.weeks) == 5
    assert not any(session.pains for session in made.sessions)
