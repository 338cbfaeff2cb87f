"""A page in each of the engines besides Chromium, with the same names for what a test asks of it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast

import pytest
from app_process import enter
from flutter_page import PHONE, RECORD_VIBRATIONS, enable_semantics
from playwright.sync_api import Page, sync_playwright
from webkit_page import DRIVER, webkit_page

ENGINES = ("firefox", "webkit")
FIREFOX = ("firefox-esr", "firefox")
ASKED = "() => performance.getEntriesByType('resource').map((one) => one.name)"
"""The addresses that a page has asked for, those of its service worker left out."""


@contextmanager
def page_in(
    engine: str,
    *,
    width: int = PHONE["width"],
    height: int = PHONE["height"],
    downloads: Path | None = None,
) -> Iterator[Page]:
    """A page of an engine at this size, in a browser with a fresh profile that saves into ``downloads``."""
    need(engine)
    if engine == "webkit":
        with webkit_page(width, height, downloads=downloads) as page:
            yield cast("Page", page)
        return
    with sync_playwright() as playwright:
        browser = playwright.firefox.launch(
            channel="moz-firefox",
            executable_path=path_of_firefox(),
            downloads_path=downloads,
        )
        size: Any = {"width": width, "height": height}
        yield browser.new_context(viewport=size, locale="en-GB", timezone_id="Europe/Lisbon").new_page()
        browser.close()


def path_of_firefox() -> str | None:
    return os.environ.get("FIREFOX") or next(filter(None, map(shutil.which, FIREFOX)), None)


def need(engine: str) -> None:
    """Fails where an engine is missing: a skipped engine would look like one that works."""
    if (path_of_firefox() if engine == "firefox" else shutil.which(DRIVER)) is None:
        pytest.fail(f"{engine} is missing: run build/dev.py test where it may install packages")


def on(page: Page, url: str) -> None:
    """Opens the application of a server, and has it name what it draws."""
    enter(page, url)
    enable_semantics(page)


def record_vibrations(page: Page) -> None:
    """Notes from now on what the page asks of a motor, which neither engine has on a desk."""
    page.evaluate(f"() => {{ {RECORD_VIBRATIONS} }}")
