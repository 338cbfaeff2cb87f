"""The whole job with the keyboard alone: Tab, Enter, the space bar and the arrows."""

from collections.abc import Callable
from pathlib import Path

import pytest
from beside import done
from keyboard_way import BRIEF, whole_job
from keys import pixels_of, walk_to
from playwright.sync_api import BrowserContext
from walk import opened, shown

from companion.views.controls.theme import LIGHT
from storage.folder.store import FolderStore

pytestmark = pytest.mark.browser
WITH_WEBGL = True


def test_the_whole_job_can_be_done_with_the_keyboard_alone(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    done(FolderStore(tmp_path).plans.save(BRIEF))
    page = opened(context, start_app(tmp_path))
    whole_job(page)
    (record,) = done(FolderStore(tmp_path).sessions.records())
    assert (record.effort, record.note, {done.load_g for done in record.sets}) == (6, "Pleasant", {2_000})


def test_what_the_keyboard_is_on_wears_a_ring(context: BrowserContext, app_url: str) -> None:
    page = opened(context, app_url)
    shown(page, "I have read this")
    assert pixels_of(page, LIGHT.focus) == 0
    walk_to(page, "I have read this")
    on = page.evaluate("document.activeElement.getBoundingClientRect().toJSON()")
    around_px = 2 * (on["width"] + on["height"])
    assert pixels_of(page, LIGHT.focus) > around_px, "more than a hairline"
