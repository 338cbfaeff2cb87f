"""What failed in Firefox or WebKit and was mended, tried in the engine where it failed.

The code of a link, which was blank in both, is in test_job.py; a page without `navigator.storage`, as it is
in WebKitGTK, in test_offline.py.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest
from engines import ENGINES, need, on, page_in
from flutter_page import IN_PLACE, LAID_OUT, PHONE
from PIL import Image, ImageChops
from playwright.sync_api import Page
from walk import LIMIT_MS, shown, tap
from webkit_page import webkit_page

from companion.views.controls.frame import USE_THIS_WINDOW
from companion.views.home.backup import SAVE
from companion.window.records import ANOTHER_WINDOW
from storage.exchange.backup import read_backup

pytestmark = pytest.mark.engines

LOOK_MS = 200
BESIDES = {"Plans": "Open a file", "The week": "session", "Kit and weights": "Last weights"}
"""Screens with large drawings, and by what each is known."""


def settled(page: Page) -> Image.Image:
    """A picture of the page once two in a row are the same."""
    before = None
    for _ in range(LIMIT_MS // LOOK_MS):
        page.wait_for_timeout(LOOK_MS)
        now = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        if before is not None and ImageChops.difference(before, now).getbbox() is None:
            return now
        before = now
    raise AssertionError("the page never stood still")


def test_a_language_tag_that_is_none_does_not_keep_the_client_from_starting(
    start_app: Callable[..., str], tmp_path: Path
) -> None:
    need("webkit")
    with webkit_page(*PHONE.values(), language="C") as window:
        page = cast("Page", window)
        on(page, start_app(tmp_path))
        shown(page, "I have read this")
        languages = page.evaluate("() => navigator.languages.map((one) => new Intl.Locale(one).language)")
        assert languages == ["en"]


@pytest.mark.parametrize("engine", ENGINES)
def test_names_lie_where_they_are_drawn_words_stay_whole_and_a_backup_arrives(
    engine: str, start_app: Callable[..., str], tmp_path: Path
) -> None:
    """No field is small enough to be zoomed, large drawings take no letters, and the backup can be read."""
    saved = tmp_path / "saved"
    saved.mkdir()
    with page_in(engine, downloads=saved) as page:
        on(page, start_app(tmp_path / "records"))
        assert page.evaluate(LAID_OUT) == IN_PLACE
        button = page.get_by_role("button", name="I have read this").first.bounding_box()
        assert button is not None
        assert 0 <= button["x"] < button["x"] + button["width"] <= page.evaluate("window.innerWidth")
        tap(page, "I have read this")
        tap(page, "Settings")
        shown(page, "Weights in")
        before = settled(page)
        for name, sign in BESIDES.items():
            tap(page, "Back" if name != "Kit and weights" else "Next session")
            shown(page, "How many minutes")
            tap(page, name)
            shown(page, sign)
        tap(page, "Back")
        tap(page, "Settings")
        shown(page, "Weights in")
        assert ImageChops.difference(before, settled(page)).getbbox() is None
        tap(page, SAVE)
        shown(page, "The backup session-companion")
        file = arrived(page, saved)
    assert len(read_backup(file.read_bytes(), file.name).profiles) == 1


def arrived(page: Page, folder: Path) -> Path:
    """The file that a page saves into a folder, once it is there."""
    for _ in range(LIMIT_MS // LOOK_MS):
        page.wait_for_timeout(LOOK_MS)
        if (files := list(folder.glob("*.json"))) and files[0].stat().st_size:
            break
    (file,) = folder.glob("*.json")
    return file


def test_a_second_window_only_reads_and_takes_over_when_the_person_says_so(
    start_app: Callable[..., str], tmp_path: Path
) -> None:
    """Firefox draws nothing in a window that lies behind another."""
    url = start_app(tmp_path)
    with page_in("firefox") as first:
        on(first, url)
        tap(first, "I have read this")
        tap(first, "Start")
        shown(first, "Something hurts")
        second = first.context.new_page()
        on(second, url)
        shown(second, ANOTHER_WINDOW)
        tap(second, USE_THIS_WINDOW)
        shown(second, "You were away for")
        first.bring_to_front()
        shown(first, ANOTHER_WINDOW)
