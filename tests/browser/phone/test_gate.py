"""The phone gate: the offline build starts in a browser by itself.

The build is served below a folder, as a plain static host does; the browser has no way out of this machine.
"""

import re
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from phone_server import OutsideRequests, refuse_outside, serve_folder
from playwright.sync_api import Browser, BrowserContext, Page
from playwright.sync_api import TimeoutError as TookTooLong

pytestmark = [pytest.mark.browser, pytest.mark.phone]
WITH_WEBGL = True

FIRST_SCREEN = re.compile("before your first session", re.IGNORECASE)  # the cautions
START_ENDS = re.compile("before your first session|error running app", re.IGNORECASE)
START_LIMIT_MS = 90_000  # only so that a hang ends; a start takes 8 to 13 s here


@dataclass
class Visit:
    """One first visit to the build in a fresh profile, and all that the browser had to say about it."""

    origin: str
    words: str = ""
    starting_screens_left: int = -1
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    outside: OutsideRequests = field(default_factory=OutsideRequests)


@pytest.fixture(scope="module")
def visit(phone_host: Path, browser: Browser) -> Visit:
    outside = OutsideRequests()
    with serve_folder(phone_host) as origin, refuse_outside(outside) as proxy:
        visit = Visit(origin=origin, outside=outside)
        context = closed_in(browser, proxy)
        take_notes(context, visit)
        page = context.new_page()
        page.goto(f"{origin}/app/")
        with suppress(TookTooLong):  # the tests then say what the browser had to say
            visit.words = first_words(page)
            page.wait_for_load_state("networkidle")
        visit.starting_screens_left = page.locator("#starting").count()
        context.close()
        return visit


def test_the_offline_build_starts_and_python_draws_the_first_screen(visit: Visit) -> None:
    assert FIRST_SCREEN.search(visit.words), "\n".join([visit.words, *visit.complaints])


def test_the_starting_screen_has_made_room(visit: Visit) -> None:
    assert visit.starting_screens_left == 0


def test_the_start_needs_nothing_but_the_page_s_own_origin(visit: Visit) -> None:
    assert visit.requests
    elsewhere = [url for url in visit.requests if not url.startswith((visit.origin, "data:", "blob:"))]
    assert elsewhere == []
    assert visit.outside.seen == []


def test_the_start_misses_no_file_and_logs_no_error(visit: Visit) -> None:
    assert visit.complaints == []


def test_the_watch_over_outside_requests_sees_one_where_there_is_one(browser: Browser) -> None:
    outside = OutsideRequests()
    with refuse_outside(outside) as proxy:
        context = closed_in(browser, proxy)
        context.new_page().goto("http://elsewhere.invalid/page")
        context.close()
    assert outside.seen[0] == "GET http://elsewhere.invalid/page"


def test_the_page_s_policy_stops_a_request_to_another_origin(phone_host: Path, browser: Browser) -> None:
    with serve_folder(phone_host) as origin, serve_folder(phone_host) as other_origin:
        context = browser.new_context()
        page = context.new_page()
        page.goto(f"{origin}/app/", wait_until="commit")
        ask = "url => fetch(url, {mode: 'no-cors'}).then(() => 'reached', String)"
        answer = page.evaluate(ask, f"{other_origin}/app/")
        context.close()
    assert answer.startswith("TypeError")


def closed_in(browser: Browser, proxy: str) -> BrowserContext:
    """A fresh profile at phone size whose every request beyond this machine ends at the refusing proxy."""
    way_out = {"server": proxy, "bypass": "127.0.0.1"}
    return browser.new_context(viewport={"width": 412, "height": 915}, proxy=way_out)


def take_notes(context: BrowserContext, visit: Visit) -> None:
    complain = visit.complaints.append
    context.on("request", lambda request: visit.requests.append(request.url))
    context.on("requestfailed", lambda request: complain(f"failed {request.url} {request.failure}"))
    context.on(
        "response", lambda reply: complain(f"{reply.status} {reply.url}") if reply.status >= 400 else None
    )
    context.on("console", lambda message: complain(message.text) if message.type == "error" else None)
    context.on("weberror", lambda fault: complain(f"uncaught {fault.error}"))


def first_words(page: Page) -> str:
    """Ask for the accessible tree, as a screen reader does, and return the first words that end the start.

    They are the app's first screen, or the client's panel where Python could not be started.
    """
    page.locator("flt-semantics-placeholder").wait_for(state="attached", timeout=START_LIMIT_MS)
    page.evaluate("document.querySelector('flt-semantics-placeholder').click()")
    end = page.get_by_text(START_ENDS).or_(page.get_by_label(START_ENDS)).first
    end.wait_for(state="attached", timeout=START_LIMIT_MS)
    return end.get_attribute("aria-label") or end.inner_text()
