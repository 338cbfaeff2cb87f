"""The coach writes a plan with keyboard and mouse, sees a fault, takes it back, keeps the plan."""

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from builders import record
from desk_page import named, write
from flutter_page import DROP, screenshot
from pages import page as coach_page
from pages import painful_record
from playwright.sync_api import Browser, BrowserContext, Page, expect
from walk import LIMIT_MS, opened, shown, tap

from companion.paper.coach_page import page_html
from engine.base.reading import read
from engine.plan.adjustment import Adjustment

pytestmark = pytest.mark.browser

SIZES = {"desk": {"width": 1280, "height": 800}, "phone": {"width": 412, "height": 915}}
PICTURES = os.environ.get("PICTURES")


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
    read = page.locator("body").aria_snapshot()
    parts = [read.index(part) for part in ('"Outline"', "Add cool-down", "By whom", '"Minutes"')]
    assert parts == sorted(parts), "a screen reader reads one column after the other"
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
    if size == "desk":
        _another_window_finds_it_on_the_disk(context, url)
    tap(page, "Save this plan")
    shown(page, "Boathouse evening is saved")
    page.reload()
    page = opened(context, url)
    tap(page, "Plans")
    tap(page, "What Boathouse evening asks")
    shown(page, "Goblet squat and Bent-over row")
    context.close()


def _another_window_finds_it_on_the_disk(context: BrowserContext, url: str) -> None:
    """As whoever comes back after a crash would: nothing is kept yet."""
    page = opened(context, url)
    tap(page, "Plans")
    tap(page, "Go on writing Boathouse evening")
    named(page, "1. Work Goblet squat and Bent-over row")
    page.close()


def _a_fault_is_seen_and_taken_back(page: Page, size: str) -> None:
    write(page, "Rest", "5")
    shown(page, "between work intervals, not 5 s")
    picture(page, f"{size}-fault")
    tap(page, "Undo")
    expect(page.get_by_text("No faults").first).to_be_visible(timeout=LIMIT_MS)
    tap(page, "Redo")
    shown(page, "between work intervals, not 5 s")
    page.keyboard.press("Control+z")
    expect(page.get_by_text("No faults").first).to_be_visible(timeout=LIMIT_MS)
    tap(page, "Short of time")
    shown(page, "What stands first is cut first")
    picture(page, f"{size}-short-of-time")


def test_pages_that_are_dropped_on_the_window_are_read_pain_first_and_answered(
    browser: Browser, start_app: Callable[..., str], tmp_path: Path
) -> None:
    context = browser.new_context(viewport=SIZES["desk"], locale="en-GB")  # type: ignore[arg-type]
    page = opened(context, start_app(tmp_path / "kept"))
    tap(page, "I have read this")
    tap(page, "Plans")
    tap(page, "Pages received")
    shown(page, "or drop them on this window")
    well, sore = _two_pages()
    page.evaluate(DROP, [well, sore, ("again.html", sore[1]), ("holiday.html", "<p>Sun")])
    named(page, "Open Anselm")
    shown(page, "holiday.html: This is not a whole page")
    shown(page, "1 page came again")
    names = [one.inner_text() for one in page.get_by_role("button", name=re.compile("^Open ")).all()]
    assert names == ["Open Runa", "Open Anselm"]
    picture(page, "desk-roster")
    _a_huge_file_is_refused(page, tmp_path)
    page.evaluate(VAST)
    shown(page, "vast.html: The file is larger than 4,000 kB")
    shown(page, "1 more: Too many or too large")
    named(page, "Open Runa")
    tap(page, "Open Runa")
    write(page, "Your name", "Nkechi Lowell")
    tap(page, "Spare: left elbow")
    named(page, "Save the adjustment")
    picture(page, "desk-answer")
    with page.expect_download() as download:
        tap(page, "Save the adjustment")
    adjustment = read(Adjustment, download.value.path().read_bytes())
    assert (adjustment.trainee_id, adjustment.author) == ("sore", "Nkechi Lowell")
    assert [change.kind for change in adjustment.changes] == ["spare"]
    context.close()


VAST = """() => {
  const held = new DataTransfer();
  for (const [name, size] of [["vast.html", 60000000], ["large.html", 24000000], ["next.html", 24000000]])
    held.items.add(new File([new Uint8Array(size)], name, { type: "text/html" }));
  for (const kind of ["dragover", "drop"])
    window.dispatchEvent(new DragEvent(kind, { dataTransfer: held, cancelable: true, bubbles: true }));
}"""
"""Drops more than one message carries: a file too large for any, and two that are too large together."""


def _a_huge_file_is_refused(page: Page, folder: Path) -> None:
    """The server's own limit of 16 MB a message would end the connection instead."""
    huge = folder / "huge.html"
    huge.write_bytes(b"<p>" * 6_000_000)
    with page.expect_file_chooser() as chooser:
        tap(page, "Pick pages")
    chooser.value.set_files(huge)
    shown(page, "huge.html: The file is larger than 4,000 kB")
    named(page, "Open Runa")


def _two_pages() -> list[tuple[str, str]]:
    well = coach_page((record(),), person={"trainee_id": "well", "name": "Anselm"})
    sore = coach_page((painful_record(),), person={"trainee_id": "sore", "name": "Runa"})
    return [(f"{one.trainee.name}.html", page_html(one)) for one in (well, sore)]
