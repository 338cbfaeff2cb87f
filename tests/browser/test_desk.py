"""The coach writes a plan with keyboard and mouse, sees a fault, takes it back, keeps the plan."""

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from flutter_page import screenshot
from playwright.sync_api import Browser, Page, expect
from walk import LIMIT_MS, opened, shown, tap

pytestmark = pytest.mark.browser

SIZES = {"desk": {"width": 1280, "height": 800}, "phone": {"width": 412, "height": 915}}
PICTURES = os.environ.get("PICTURES")


def write(page: Page, label: str, text: str) -> None:
    """Clicks into the first field whose label begins so, and types over what stands there."""
    box = page.get_by_role("textbox", name=re.compile(f"^{re.escape(label)}")).first
    expect(box).to_be_visible(timeout=LIMIT_MS)
    box.click(force=True)
    page.keyboard.press("Control+A")
    page.keyboard.type(text, delay=20)


def picture(page: Page, name: str) -> None:
    if PICTURES:
        page.wait_for_timeout(300)
        screenshot(page, Path(PICTURES) / f"{name}.png")


@pytest.mark.parametrize("size", SIZES)
def test_a_small_plan_is_written_from_nothing_and_found_again_after_a_reload(
    browser: Browser, start_app: Callable[..., str], tmp_path: Path, size: str
) -> None:
    context = browser.new_context(viewport=SIZES[size], locale="en-GB")  # type: ignore[arg-type]
    url = start_app(tmp_path)
    page = opened(context, url)
    tap(page, "I have read this")
    tap(page, "Plans")
    tap(page, "Write a new plan")
    shown(page, "No block yet")
    picture(page, f"{size}-empty")
    write(page, "Name", "Boathouse evening")
    expect(page.get_by_text("1 fault", exact=True).first).to_be_visible(timeout=LIMIT_MS)
    tap(page, "Add work")
    for written, name in (("goblet", "Goblet squat"), ("bent", "Bent-over row")):
        write(page, "Find a movement", written)
        tap(page, f"Add {name}")
        shown(page, f"{name} up")
    shown(page, "Minutes as planned")
    picture(page, f"{size}-block")
    _a_fault_is_seen_and_taken_back(page, size)
    tap(page, "Keep this plan")
    shown(page, "Boathouse evening is kept")
    page.reload()
    page = opened(context, url)
    tap(page, "Plans")
    tap(page, "What Boathouse evening asks")
    shown(page, "Goblet squat, Bent-over row")
    context.close()


def _a_fault_is_seen_and_taken_back(page: Page, size: str) -> None:
    write(page, "Rest", "5")
    shown(page, "a rest of 5 s before")
    picture(page, f"{size}-fault")
    tap(page, "Undo")
    expect(page.get_by_text("No faults").first).to_be_visible(timeout=LIMIT_MS)
    tap(page, "Redo")
    shown(page, "a rest of 5 s before")
    page.keyboard.press("Control+z")
    expect(page.get_by_text("No faults").first).to_be_visible(timeout=LIMIT_MS)
    tap(page, "Short of time")
    shown(page, "Given up from the top")
    picture(page, f"{size}-short-of-time")
