"""“Something hurts”, from the tap to the verdict: taps counted, nothing to scroll, nothing cut off.

At most 4 taps and no scroll on a phone of 412 × 915 are our own goal. To keep the pictures: PICTURES=FOLDER.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from beside import done
from flutter_page import PHONE, screenshot
from keys import press as press_key
from keys import walk_to
from playwright.sync_api import BrowserContext, Page
from short_plan import SHORT
from walk import opened, shown, tap, to_work

from companion.style.pain_words import SIGNS
from companion.style.safety import HELP_ROW
from storage.folder.store import FolderStore

pytestmark = pytest.mark.browser

MOST_TAPS = 4
LEAST_TOUCH_PX = 48
HURTS = "Something hurts"
STOPPED = "Stop. Weight down."
WHERE, ANY_OF_THESE, HOW_MUCH = "Where", "Any of these", "How much"
DULL = "None: dull, left knee"
MUSCLE = "None: in a muscle"

SCROLLS = """() => [...document.querySelectorAll("flt-semantics")].filter((one) =>
  ["scroll", "auto"].includes(getComputedStyle(one).overflowY) && one.scrollHeight > one.clientHeight + 1
).length"""
BUTTONS = """() => [...document.querySelectorAll('flt-semantics[role="button"]')].map((one) => {
  const box = one.getBoundingClientRect();
  return { name: one.getAttribute("aria-label") || one.innerText, x: box.left, y: box.top,
           width: box.width, height: box.height };
})"""


@pytest.fixture
def at_work(context: BrowserContext, start_app: Callable[..., str], tmp_path: Path) -> Page:
    done(FolderStore(tmp_path).plans.save(SHORT))
    page = opened(context, start_app(tmp_path))
    to_work(page)
    return page


def keep_picture(page: Page, name: str) -> None:
    if folder := os.environ.get("PICTURES"):
        page.wait_for_timeout(700)
        screenshot(page, Path(folder) / f"hurt-{name}.png")


def buttons(page: Page) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = page.evaluate(BUTTONS)
    return found


def amiss(page: Page) -> list[str]:
    """What a person would have to scroll to, or could not hit; the title and the way to help too."""
    page.wait_for_timeout(500)  # the new question has been laid out
    faults = ["it scrolls"] if page.evaluate(SCROLLS) else []
    for one in buttons(page):
        beyond = one["y"] < 0 or one["y"] + one["height"] > PHONE["height"] + 1
        beyond = beyond or one["x"] < 0 or one["x"] + one["width"] > PHONE["width"] + 1
        small = min(one["width"], one["height"]) < LEAST_TOUCH_PX
        faults += [f"{one['name']} is out of sight"] * beyond + [f"{one['name']} is small"] * small
    heading = page.get_by_role("heading", name=STOPPED)
    return faults + ["no title"] * (heading.count() != 1)


def answer(page: Page, taps: tuple[tuple[str, str], ...], name: str) -> list[str]:
    """Taps through the questions, each with what comes then. Returns what was amiss on the way."""
    assert len(taps) <= MOST_TAPS
    faults = []
    for number, (button, then) in enumerate(taps):
        tap(page, button)
        shown(page, then)
        keep_picture(page, f"{name}-{number}")
        faults += amiss(page)
    return faults


TO_THE_VERDICT = {
    "joint": ((HURTS, WHERE), ("point left knee", ANY_OF_THESE), (DULL, HOW_MUCH), ("pain 2", "Try once")),
    "swap": ((HURTS, WHERE), ("point left knee", ANY_OF_THESE), (DULL, HOW_MUCH), ("pain 4", "stays out")),
    "sign": (
        (HURTS, WHERE),
        ("point left knee", ANY_OF_THESE),
        (SIGNS["snap"], HOW_MUCH),  # type: ignore[index]
        ("No number", "stays out"),
    ),
    "burning": (
        (HURTS, WHERE),
        ("point left hip", ANY_OF_THESE),
        (MUSCLE, HOW_MUCH),
        ("It burned and is gone", "Carry on if"),
    ),
    "muscle": ((HURTS, WHERE), ("point left hip", ANY_OF_THESE), (MUSCLE, HOW_MUCH), ("pain 4", "with less")),
    "help": ((HURTS, WHERE), (HELP_ROW, "emergency number")),
}


@pytest.mark.parametrize("way", TO_THE_VERDICT)
def test_four_taps_lead_to_the_verdict_and_nothing_has_to_be_scrolled(at_work: Page, way: str) -> None:
    assert answer(at_work, TO_THE_VERDICT[way], way) == []


def test_the_joint_that_hurt_lately_is_one_tap_and_help_is_always_on_top(at_work: Page) -> None:
    answer(at_work, TO_THE_VERDICT["joint"], "first")
    tap(at_work, "Leave it out")
    shown(at_work, "Rest|Work|Next")
    again = (
        (HURTS, WHERE),
        ("Again: left knee", ANY_OF_THESE),
        (DULL, HOW_MUCH),
        ("pain 7", "End the session"),
    )
    assert answer(at_work, again, "again") == []
    top = min(buttons(at_work), key=lambda one: one["y"])
    assert top["name"] == HELP_ROW


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_at_twice_the_text_nothing_is_cut_off(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path, scheme: str
) -> None:
    done(FolderStore(tmp_path).plans.save(SHORT))
    page = opened(context, start_app(tmp_path))
    to_work(page)
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    page.wait_for_timeout(500)
    for number, (button, then) in enumerate(TO_THE_VERDICT["joint"]):
        tap(page, button)
        shown(page, then)
        keep_picture(page, f"{scheme}-200-{number}")
        page.wait_for_timeout(500)
        wide = [
            one["name"]
            for one in buttons(page)
            if one["x"] < 0 or one["x"] + one["width"] > PHONE["width"] + 1
        ]
        assert wide == []


def test_the_keyboard_leads_to_the_verdict_too(at_work: Page) -> None:
    for name, then in TO_THE_VERDICT["joint"]:
        press_key(at_work, name)
        shown(at_work, then)
    walk_to(at_work, "Try without weight")
