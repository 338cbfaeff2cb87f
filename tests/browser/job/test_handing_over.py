"""The coach drags what is given up into an order and hands the plan over as a code on the screen."""

import os
import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from desk_page import named, write
from flutter_page import screenshot
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from walk import LIMIT_MS, opened, tap

from companion.samples import sample_plans
from engine.plan.link import read_link

pytestmark = pytest.mark.browser
WITH_WEBGL = True


def drag(page: Page, allowance: str, *, below: str) -> None:
    """By the handle at the left of its row, with the mouse."""
    left = page.get_by_text(re.compile("^What stands first is cut first")).bounding_box(timeout=LIMIT_MS)
    rows = [
        page.get_by_role("button", name=f"{name} up", exact=True).bounding_box(timeout=LIMIT_MS)
        for name in (allowance, below)
    ]
    assert left is not None
    (from_y, to_y) = (row["y"] + row["height"] / 2 for row in rows if row is not None)
    page.mouse.move(left["x"] + 24, from_y)
    page.mouse.down()
    page.mouse.move(left["x"] + 24, from_y + 30, steps=5)
    page.mouse.move(left["x"] + 24, to_y + 20, steps=10)
    page.mouse.up()


def test_the_code_on_the_screen_opens_the_plan_in_the_order_that_was_dragged(
    browser: Browser, start_app: Callable[..., str], tmp_path: Path
) -> None:
    """Read from the picture of the page by zxing-cpp, which knows nothing of us."""
    context = browser.new_context(viewport={"width": 1280, "height": 1000}, locale="en-GB")
    page = opened(context, start_app(tmp_path))
    tap(page, "I have read this")
    tap(page, "Plans")
    tap(page, "What Harbour circuit asks")
    tap(page, "Change this plan")
    tap(page, "Short of time")
    drag(page, "The longer kind of practice", below="Practice")
    expect(page.get_by_role("button", name="The longer kind of practice down")).to_be_disabled(
        timeout=LIMIT_MS
    )
    tap(page, "Hand over")
    named(page, "Save the printed sheet")
    assert not page.get_by_role("button", name="Copy the link").count()
    write(page, "Address", "https://rowing.example/app/")
    tap(page, "Use this address")
    named(page, "Copy the link")
    page.wait_for_timeout(500)  # the picture is decoded
    if folder := os.environ.get("PICTURES"):
        screenshot(page, Path(folder) / "desk-hand-over.png")
    found = zxingcpp.read_barcode(Image.open(BytesIO(page.screenshot())).convert("L"))
    assert found is not None
    plan = next(plan for plan in sample_plans() if plan.id == "harbour-circuit")
    first, *others = plan.allowances or ()
    assert read_link(found.text) == plan.model_copy(update={"allowances": (*others, first)})
    context.close()
