"""The whole job with the keyboard alone: Tab, Enter, the space bar and the arrows."""

import base64
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from builders import BEND, HAND, plan, practice, warm_up, work
from playwright.sync_api import BrowserContext, Page
from test_main_job import done
from walk import opened, shown

from companion.views.controls.theme import LIGHT
from engine.plan.plan import Dose, PracticeForm, RoundsRange, WarmUpItem
from storage.folder.store import NativeStore

pytestmark = pytest.mark.browser

BRIEF = plan(
    warm_up(items=(WarmUpItem(movement=BEND.slug, dose=Dose(low=4)),), rounds=RoundsRange(min=1, max=1)),
    practice(movements=(HAND.slug,), timed=None, repetitions=Dose(low=4), usual=PracticeForm.repetitions),
    work(HAND.slug, rounds=RoundsRange(min=1, max=1), work_s=20, rest_s=15),
    id="a-brief-one",
    name="A brief one",
)
SETTLE_MS = 80
MOST_TABS = 80  # only so that a missing button ends the test


def focused(page: Page) -> str:
    """What a screen reader says of the element that the keyboard is on."""
    said = page.evaluate(
        "() => { const on = document.activeElement;"
        " return on.getAttribute('aria-label') || on.innerText || ''; }"
    )
    return str(said)


def walk_to(page: Page, name: str, *, key: str = "Tab") -> None:
    """Moves on until the keyboard rests on what is so named; a slow page moves it some time after the key."""
    for _ in range(MOST_TABS):
        rests = [re.match(name, focused(page)) is not None]
        page.wait_for_timeout(SETTLE_MS)
        rests.append(re.match(name, focused(page)) is not None)
        if all(rests):
            return
        if not any(rests):
            page.keyboard.press(key)
            page.wait_for_timeout(SETTLE_MS)
    raise AssertionError(f"the keyboard never came to “{name}”; it is on “{focused(page)}”")


def press(page: Page, name: str, *, with_key: str = "Enter", key: str = "Tab") -> None:
    walk_to(page, name, key=key)
    page.keyboard.press(with_key)


COUNT_PIXELS = """async ([png, red, green, blue]) => {
  const picture = await createImageBitmap(await (await fetch(`data:image/png;base64,${png}`)).blob());
  const canvas = new OffscreenCanvas(picture.width, picture.height).getContext("2d");
  canvas.drawImage(picture, 0, 0);
  const pixels = canvas.getImageData(0, 0, picture.width, picture.height).data;
  let count = 0;
  for (let at = 0; at < pixels.length; at += 4) {
    count += pixels[at] === red && pixels[at + 1] === green && pixels[at + 2] === blue;
  }
  return count;
}"""


def pixels_of(page: Page, colour: str) -> int:
    """How many pixels of the page are exactly of a colour (#rrggbb)."""
    png = base64.b64encode(page.screenshot()).decode()
    return int(page.evaluate(COUNT_PIXELS, [png, *bytes.fromhex(colour[1:])]))


def test_the_whole_job_can_be_done_with_the_keyboard_alone(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    done(NativeStore(tmp_path).save_plan(BRIEF))
    page = opened(context, start_app(tmp_path))
    shown(page, "I have read this")
    press(page, "New to strength training", with_key="Space")
    press(page, "I have read this")

    shown(page, "How many minutes")
    press(page, "five minutes less")
    shown(page, "20 minutes")
    press(page, "One", with_key="Space")
    press(page, "Start")

    shown(page, "Warm-up")
    press(page, "Done")
    shown(page, "Next block")
    page.keyboard.press("ArrowRight")
    shown(page, "Working load")
    press(page, "two kilograms more", with_key="Space")
    shown(page, "2 kg")
    press(page, "Done")

    shown(page, "Next block")
    page.keyboard.press("ArrowRight")
    shown(page, "Get ready")
    page.keyboard.press("ArrowRight")
    shown(page, "left side")
    page.keyboard.press("Space")
    shown(page, "Paused")
    page.keyboard.press("Space")
    shown(page, "left side")
    page.keyboard.press("ArrowLeft")
    shown(page, "Get ready")
    page.keyboard.press("ArrowRight")
    shown(page, "left side")
    page.keyboard.press("p")
    shown(page, "Paused")
    page.keyboard.press("p")
    shown(page, "left side")
    page.keyboard.press("ArrowRight")

    shown(page, "How was it")
    press(page, "effort 6")
    walk_to(page, "A word to your coach")
    page.keyboard.type("Pleasant")
    press(page, "Save")
    shown(page, "1 session")
    (record,) = done(NativeStore(tmp_path).records())
    assert (record.effort, record.note, {done.load_g for done in record.sets}) == (6, "Pleasant", {2_000})


def test_what_the_keyboard_is_on_wears_a_ring(context: BrowserContext, app_url: str) -> None:
    page = opened(context, app_url)
    shown(page, "I have read this")
    assert pixels_of(page, LIGHT.focus) == 0
    walk_to(page, "I have read this")
    on = page.evaluate("document.activeElement.getBoundingClientRect().toJSON()")
    around_px = 2 * (on["width"] + on["height"])
    assert pixels_of(page, LIGHT.focus) > around_px, "more than a hairline"
