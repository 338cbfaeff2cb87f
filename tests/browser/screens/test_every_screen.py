"""Every screen, at the size of a phone and of a desk: its accessibility, and nothing beyond its edges.

axe-core checks against WCAG 2.2, levels A and AA, and its own best practices. Contrast it cannot judge on a
canvas: test_theme.py computes it. To keep the pictures: PICTURES=FOLDER.
"""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from accessibility import OUT_OF_REACH, violations
from flutter_page import PHONE, screenshot
from playwright.sync_api import Browser
from walk import every_screen

pytestmark = pytest.mark.browser

DESK = {"width": 1280, "height": 800}
LOOKS = {
    "phone": (PHONE, "light", 100),
    "desk": (DESK, "dark", 100),
    "phone-large": (PHONE, "light", 200),
}
"""The page, the colours, and the reader's text scale in per cent (WCAG 2.2, 1.4.4: up to 200)."""

# The client itself forbids zooming by two fingers (it lays its page out anew for each size); larger text is
# had by the setting of the browser or the device, which "phone-large" tries out.


@pytest.mark.parametrize("look", LOOKS)
def test_every_screen_is_accessible_and_stays_within_its_edges(
    look: str, browser: Browser, start_app: Callable[..., str], tmp_path: Path
) -> None:
    size, colours, scale = LOOKS[look]
    context = browser.new_context(viewport=size, color_scheme=colours, locale="en-GB")
    context.add_init_script(
        f"addEventListener('DOMContentLoaded', () => document.documentElement.style.fontSize = '{scale}%')"
    )
    page = context.new_page()
    faults: dict[str, list[str]] = {}
    for name in every_screen(page, start_app(tmp_path)):
        faults[name] = [*violations(page), *page.evaluate(OUT_OF_REACH)]
        if folder := os.environ.get("PICTURES"):
            screenshot(page, Path(folder) / f"{name}-{look}.png")
    context.close()
    assert {name: found for name, found in faults.items() if found} == {}
