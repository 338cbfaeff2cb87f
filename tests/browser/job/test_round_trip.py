"""The whole loop between two people who share no server: two data folders, two windows, a link each way.

The coach writes and hands over a link; the trainee fits it to 25 minutes, ends a session for pain and makes
the page; the coach reads it, pain first, and answers; the trainee's next fit shows it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from desk_page import named, write
from flutter_page import DROP
from playwright.sync_api import Browser, BrowserContext, Page, expect
from walk import LIMIT_MS, opened, shown, tap

pytestmark = pytest.mark.browser

PLAN = "Boathouse evening"
COACH = "Nkechi Lowell"


COPIED = """async () => {
  const copied = () => navigator.clipboard.readText();
  while (!(await copied()).includes("#")) await new Promise((next) => setTimeout(next, 20));
  return copied();
}"""


def context_of(browser: Browser, **size: int) -> BrowserContext:
    context = browser.new_context(viewport=size, locale="en-GB")  # type: ignore[arg-type]
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    return context


def copied(page: Page, button: str) -> str:
    tap(page, button)
    text: str = page.evaluate(COPIED)
    return text


def test_what_a_coach_writes_comes_back_as_a_page_and_the_answer_shapes_the_next_fit(
    browser: Browser, start_app: Callable[..., str], tmp_path: Path
) -> None:
    theirs = start_app(tmp_path / "trainee")
    coach = opened(context_of(browser, width=1280, height=1000), start_app(tmp_path / "coach"))
    trainee = opened(context_of(browser, width=412, height=915), theirs)
    _takes(trainee, _written(coach, to=theirs))
    _the_coach_reads(coach, _a_session_that_hurts(trainee))
    trainee.goto(_answered(coach))
    shown(trainee, "Your coach asks")
    shown(trainee, f"From {COACH} to Trainee")
    tap(trainee, "Save")
    shown(trainee, "At most 2 rounds of each work block")
    shown(trainee, "^2 rounds and no practice")
    coach.context.close()
    trainee.context.close()


def _written(page: Page, *, to: str) -> str:
    """Up to twelve rounds of two movements at 45 s of work and 30 s of rest, and the link that carries it.

    A round is 2:30; ten of them, with 10 s to get ready and without the last rest, are 24:40.
    """
    tap(page, "I have read this")
    tap(page, "Plans")
    tap(page, "Write a new plan")
    write(page, "Name", PLAN)
    tap(page, "Add work")
    for written, name in (("half squ", "Half squat"), ("press-back", "Elbow press-back")):
        write(page, "Find a movement", written)
        tap(page, f"Add {name}")
        named(page, f"{name} up")
    write(page, "Maximum", "12")
    named(page, "Undo")
    tap(page, "Hand over")
    write(page, "Address", to)
    tap(page, "Use this address")
    return copied(page, "Copy the link")


def _takes(page: Page, link: str) -> None:
    tap(page, "I have read this")
    shown(page, "How many minutes")
    page.goto(link)
    shown(page, "This plan is not saved yet")
    shown(page, "Half squat and Elbow press-back")
    tap(page, "Save this plan")
    shown(page, f"{PLAN} is saved, and chosen")
    tap(page, "Back")
    expect(page.get_by_role("group", name="25 minutes")).to_be_visible(timeout=LIMIT_MS)
    shown(page, "10 rounds and no practice")


def _a_session_that_hurts(page: Page) -> str:
    """Ended in the second round, for a pain with which another session is possible that day (with 6 none is).
    The page is what the person would send."""
    tap(page, "Start")
    for _ in range(6):
        tap(page, "Skip")
    tap(page, "Something hurts")
    shown(page, "Stop. Weight down")
    tap(page, "point left wrist")
    tap(page, "None: dull, left wrist")
    tap(page, "pain 5")
    tap(page, "End the session")
    shown(page, "How was it")
    tap(page, "Save")
    shown(page, "left wrist, pain 5 of 10")
    with page.expect_download() as download:
        tap(page, "Save the page")
    html = download.value.path().read_text("utf-8")
    tap(page, "Next session")
    shown(page, "How many minutes")
    return html


def _the_coach_reads(page: Page, html: str) -> None:
    tap(page, "Back")
    tap(page, "Pages received")
    shown(page, "drop them on this window")
    page.evaluate(DROP, [("page.html", html)])
    shown(page, "Stopped for pain")
    tap(page, "Open Trainee")
    shown(page, "left wrist, pain 5 of 10")


def _answered(page: Page) -> str:
    write(page, "Your name", COACH)
    tap(page, "At most 2 rounds")
    named(page, "Copy its link")
    link = copied(page, "Copy its link")
    assert re.search("#adjustment=", link)
    return link
