"""The running screen as it is seen from two metres: upright and across, by day and in the dark.

48 px to touch is common practice, no source. To keep the pictures: PICTURES=FOLDER.
"""

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from beside import done
from builders import BEND, movement, plan, warm_up, work
from flutter_page import PHONE, screenshot
from keys import pixels_of
from playwright.sync_api import BrowserContext, Page, ViewportSize
from walk import opened, shown, tap, to_work

from companion.style.palette import DARK
from engine.load.rack import Rack
from engine.movements.movement import Kit, MovementPattern, Sides
from engine.plan.plan import Amount, RoundsRange, WarmUpItem, WorkMovement
from storage.folder.store import FolderStore
from storage.models import KitOwned

pytestmark = pytest.mark.browser
WITH_WEBGL = True

ACROSS: ViewportSize = {"width": PHONE["height"], "height": PHONE["width"]}
LEAST_TOUCH_PX = 48
LEAST_PX = {"clock": 96}
BELOW = re.compile("Something hurts|Pause")
EASY = movement("easy-lunge", sides=Sides.leg, pattern=MovementPattern.lunge)
LUNGE = movement(
    "long-lunge",
    sides=Sides.leg,
    name="Alternating reverse lunge with a turn",
    pattern=MovementPattern.lunge,
    easier=EASY.slug,
)
LUNGES = plan(
    warm_up(items=(WarmUpItem(movement=BEND.slug, amount=Amount(low=4)),), rounds=RoundsRange(min=1, max=1)),
    work(
        movements=(WorkMovement(movement=LUNGE.slug, tempo="3-0-1-0"),),
        rounds=RoundsRange(min=2, max=2),
        work_s=120,
    ),
    movements=(BEND, LUNGE, EASY),
    name="Lunges",
)

BOXES = """() => Object.fromEntries([...document.querySelectorAll("flt-semantics")].flatMap((one) => {
  const role = one.getAttribute("role"), id = one.getAttribute("flt-semantics-identifier");
  const name = role || id === "clock" ? one.getAttribute("aria-label") || one.innerText || id : one.innerText;
  return name && role !== "group" ? [[name, one.getBoundingClientRect().toJSON()]] : [];
}))"""


def out_of_sight(found: dict[str, dict[str, Any]], needed: tuple[str, ...], size: ViewportSize) -> list[str]:
    """What is needed and is not there, lies below the bar of actions or beyond an edge, or is too small."""
    fold = min((box["top"] for name, box in found.items() if BELOW.match(name)), default=0)
    faults = []
    for one in needed:
        box = next((box for name, box in found.items() if re.fullmatch(one, name)), None)
        if box is None:
            faults.append(f"{one} is not there")
            continue
        lowest = size["height"] if box["top"] >= fold else fold
        if not (
            0 <= box["left"] < box["right"] <= size["width"] and 0 <= box["top"] < box["bottom"] <= lowest
        ):
            faults.append(f"{one} is out of sight: {box}")
        if box["height"] < LEAST_PX.get(one, LEAST_TOUCH_PX if one in AT_WORK + AT_REST else 0):
            faults.append(f"{one} is {box['height']} px tall")
    return faults


TO_TAP = ("Skip", "Previous", "Form slipped", "Something hurts", "Pause")
AT_WORK = (*TO_TAP, f"Easier version: {EASY.name}")
AT_REST = (*TO_TAP, "15 s more rest")
ALWAYS = ("clock", "Round 1 of 2", r"done by \d\d:\d\d")
NAMED = rf"{LUNGE.name}, left(\s[\s\S]*)?"  # upright, weight and version are read with it
WORK = ("Work", *ALWAYS, NAMED, "left side", "Then change legs: right", *AT_WORK)
REST = ("Rest", *ALWAYS, f"Next: {NAMED}", *AT_REST)


def amiss(page: Page, needed: tuple[str, ...], look: str) -> list[str]:
    """What is amiss upright and across, once the page had time to be laid out anew."""
    faults = []
    for size in (ACROSS, PHONE):
        page.set_viewport_size(size)
        for _ in range(100):
            found = out_of_sight(page.evaluate(BOXES), needed, size)
            if not found:
                break
            page.wait_for_timeout(100)
        faults += found
        if folder := os.environ.get("PICTURES"):
            screenshot(page, Path(folder) / f"{needed[0].lower()}-{look}-{size['width']}.png")
    return faults


@pytest.fixture
def at_work(context: BrowserContext, start_app: Callable[..., str], tmp_path: Path) -> Page:
    done(FolderStore(tmp_path).plans.save(LUNGES))
    page = opened(context, start_app(tmp_path))
    to_work(page)
    return page


def test_all_that_is_needed_is_in_sight_upright_and_across_in_a_round_and_in_a_rest(at_work: Page) -> None:
    faults = amiss(at_work, WORK, "light")
    at_work.emulate_media(color_scheme="dark")
    faults += amiss(at_work, WORK, "dark")
    assert pixels_of(at_work, DARK.background) > 100_000
    tap(at_work, "Skip")
    shown(at_work, "^Rest")
    assert faults + amiss(at_work, REST, "dark") == []


WEIGHTS = ("no weight", "4 kg", "6 kg", "8 kg")


def test_each_weight_is_in_sight_in_a_rest_and_keeps_its_place_when_one_is_tapped(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    store = FolderStore(tmp_path)
    done(store.plans.save(LUNGES))
    done(store.person.save_kit(KitOwned(dumbbells=Kit.single, rack=Rack.of_weights((4_000, 6_000, 8_000)))))
    page = opened(context, start_app(tmp_path))
    to_work(page)
    tap(page, "Skip")
    shown(page, "^Rest")
    assert amiss(page, (*REST, *WEIGHTS), "weights") == []
    for size in (ACROSS, PHONE):
        page.set_viewport_size(size)
        places = set()
        for weight in ("6 kg", "no weight", "8 kg"):
            tap(page, weight)
            shown(page, f"^{weight}$")
            page.wait_for_timeout(300)
            found = page.evaluate(BOXES)
            places.add(str([found[one] for one in (*WEIGHTS, "Skip", "Pause")]))
        assert len(places) == 1, f"at {size}"
