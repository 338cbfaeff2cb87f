"""A page that is loaded again, and a second window over the same records."""

from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from app_process import App, let_in
from beside import done
from flutter_page import await_vibrations, enable_semantics, vibrations
from playwright.sync_api import BrowserContext, Page, expect
from short_plan import EXPECTED_CUES, SHORT
from walk import LIMIT_MS, opened, shown, tap, to_work

from companion.views.controls.frame import USE_THIS_WINDOW
from companion.window.records import ANOTHER_WINDOW
from engine.live.cues import PATTERNS_MS, CueKind
from storage.folder.store import FolderStore

pytestmark = pytest.mark.browser

PATTERNS = [PATTERNS_MS[kind] for kind in EXPECTED_CUES]
FIRST_WORK = EXPECTED_CUES.index(CueKind.work) + 1

HELD_ON = """name => {
  navigator.locks.request(name, () => new Promise(resolve => setTimeout(resolve, 2000)));
}"""


@pytest.fixture
def app_at_work(context: BrowserContext, start: Callable[..., App], tmp_path: Path) -> tuple[App, Page]:
    """The application, and a window of it in the first work interval of the short plan."""
    done(FolderStore(tmp_path).plans.save(SHORT))
    app = start(tmp_path)
    page = opened(context, app.url)
    to_work(page)
    return app, page


@pytest.fixture
def at_work(app_at_work: tuple[App, Page]) -> Page:
    """That window alone."""
    return app_at_work[1]


def test_a_page_loaded_again_in_a_running_round_goes_on_with_it_and_may_still_write(
    at_work: Page, tmp_path: Path
) -> None:
    at_work.reload()
    enable_semantics(at_work)
    shown(at_work, "Round 1 of 2")
    expect(at_work.get_by_text(ANOTHER_WINDOW)).to_have_count(0)
    loading = len(vibrations(at_work))  # a page that is still busy loading may leave a cue out as too late
    felt = [v.pattern_ms for v in await_vibrations(at_work, loading + 3, limit_ms=LIMIT_MS)[loading:]]
    runs_on = [PATTERNS[start : start + len(felt)] for start in range(FIRST_WORK, len(PATTERNS))]
    assert felt in runs_on, "nothing twice, nothing left out from when the page was there again"
    tap(at_work, "Pause")
    shown(at_work, "Paused")
    tap(at_work, "End here and log")
    tap(at_work, "Save")
    shown(at_work, "1 session")
    assert len(done(FolderStore(tmp_path).sessions.records())) == 1


def test_a_page_that_is_slow_to_go_is_still_the_same_window_once_loaded_again(at_work: Page) -> None:
    """What the old page holds is free only after 2 s, as on a busy phone."""
    slow = at_work.context.new_page()
    slow.goto(f"{at_work.url}icon.svg")
    slow.evaluate(HELD_ON, f"companion-page-{at_work.evaluate('sessionStorage.companion_page')}")
    at_work.reload()
    enable_semantics(at_work)
    shown(at_work, "Something hurts")
    expect(at_work.get_by_text(ANOTHER_WINDOW)).to_have_count(0)


def test_a_second_window_only_reads_and_takes_over_when_the_person_says_so(at_work: Page) -> None:
    second = opened(at_work.context, at_work.url)
    shown(second, ANOTHER_WINDOW)
    tap(second, USE_THIS_WINDOW)
    shown(second, "You were away for")
    shown(at_work, ANOTHER_WINDOW)
    shown(at_work, "How many minutes")
    silent_since = len(vibrations(at_work))
    tap(second, "Go on")
    await_vibrations(second, 2, limit_ms=LIMIT_MS)
    assert len(vibrations(at_work)) == silent_since, "only the window in use is felt"


def test_a_window_closed_without_a_word_leaves_its_session_to_the_next_one(at_work: Page) -> None:
    context, url = at_work.context, at_work.url
    at_work.close()
    second = opened(context, url)
    shown(second, "Paused")
    expect(second.get_by_text(ANOTHER_WINDOW)).to_have_count(0)
    tap(second, "Go on")
    shown(second, "Round 1 of 2")


def test_a_killed_server_started_again_asks_for_its_new_address_and_the_session_waits_in_the_old_window(
    app_at_work: tuple[App, Page], context: BrowserContext, start: Callable[..., App], tmp_path: Path
) -> None:
    """The system's lock went with the process, and the cookie of the old one opens nothing."""
    app, page = app_at_work
    app.kill()
    told = done(FolderStore(tmp_path).run.read())
    again = start(tmp_path, port=urlsplit(app.url).port)
    expect(page.get_by_role("alert")).to_contain_text("Open the new address", timeout=LIMIT_MS)
    assert [event.kind for event in done(FolderStore(tmp_path).run.read()).events][-1] != "returned"
    let_in(context, again.url)
    shown(page, "You were away for")
    expect(page.get_by_role("alert")).to_have_count(0)
    shown(page, "One hand press, left")
    expect(page.get_by_text(ANOTHER_WINDOW)).to_have_count(0)
    tap(page, "Go on")
    shown(page, "Round 1 of 2")
    kept = done(FolderStore(tmp_path).run.read())
    assert kept.events[: len(told.events)] == told.events
    assert [event.kind for event in kept.events[len(told.events) :]] == ["returned", "resumed"]


def test_a_server_that_stopped_is_said_above_the_page_until_it_is_there_again(
    context: BrowserContext, start: Callable[..., App], tmp_path: Path
) -> None:
    app = start(tmp_path)
    page = opened(context, app.url)
    shown(page, "I have read this")
    line = page.locator("#away")
    expect(line).to_have_count(0)
    app.stop()
    expect(line).to_contain_text("has stopped. Start it again", timeout=LIMIT_MS)
    assert line.get_attribute("role") == "alert", "a screen reader says it at once"
    again = start(tmp_path, port=urlsplit(app.url).port)
    expect(line).to_contain_text("Open the new address", timeout=LIMIT_MS)
    let_in(context, again.url)
    expect(line).to_have_count(0, timeout=LIMIT_MS)
    tap(page, "I have read this")
    shown(page, "How many minutes")


def test_what_was_told_of_a_pain_outlives_the_process(
    app_at_work: tuple[App, Page], context: BrowserContext, start: Callable[..., App], tmp_path: Path
) -> None:
    app, page = app_at_work
    tap(page, "Something hurts")
    tap(page, "point left knee")
    shown(page, "Any of these")
    app.kill()
    page.close()
    page = opened(context, start(tmp_path).url)
    shown(page, "Any of these")
    tap(page, "None: dull, left knee")
    tap(page, "pain 6")
    shown(page, "End the session here")
