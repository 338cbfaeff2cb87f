"""The job in Firefox and WebKit: every screen, cues in real time, keyboard, reload, link and code."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest
import zxingcpp
from beside import done
from builders import HAND, plan, profile, work
from engines import ASKED, ENGINES, on, page_in, record_vibrations
from flutter_page import await_vibrations, foreign
from keyboard_way import BRIEF, whole_job
from PIL import Image
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page
from short_plan import ONE_ROUND, cues_of
from walk import GONE_MS, every_screen, shown, tap

from engine.live.cues import PATTERNS_MS
from engine.plan.link import fragment, link
from storage.folder.store import FolderStore
from storage.models import Settings

pytestmark = [pytest.mark.engines, pytest.mark.parametrize("engine", ENGINES)]

GUEST = plan(work(HAND.slug), id="harbour-guest", name="A guest's evening", author="Ines Okonjo")
CUES = cues_of(rounds=1)
LOOKS = 60  # only so that a hang ends
BASE = "https://example.org/app/"
FEWEST_COLOURS = 8
"""A page that is drawn has more; smooth letters alone give dozens."""


@pytest.fixture
def page(engine: str) -> Iterator[Page]:
    with page_in(engine) as page:
        yield page


def picture(page: Page) -> Image.Image:
    return Image.open(io.BytesIO(page.screenshot())).convert("RGB")


def test_every_screen_is_drawn_and_asks_nobody_else(
    page: Page, start_app: Callable[..., str], tmp_path: Path
) -> None:
    url = start_app(tmp_path)
    drawn = 0
    for name in every_screen(page, url):
        page.wait_for_timeout(200)
        colours = picture(page).getcolors(1_000_000)
        assert colours is not None, name
        assert len(colours) >= FEWEST_COLOURS, name
        drawn += 1
    assert drawn >= 16
    assert foreign(page.evaluate(ASKED), url) == []


def test_the_cues_come_in_real_time_and_the_session_is_in_the_week(
    page: Page, start_app: Callable[..., str], tmp_path: Path
) -> None:
    done(FolderStore(tmp_path).plans.save(ONE_ROUND))
    on(page, start_app(tmp_path))
    tap(page, "I have read this")
    record_vibrations(page)
    tap(page, "One")
    tap(page, "Start")
    tap(page, "Done")
    felt = await_vibrations(page, len(CUES), limit_ms=120_000)
    assert [one.pattern_ms for one in felt[: len(CUES)]] == [PATTERNS_MS[kind] for kind in CUES]
    shown(page, "How was it")
    tap(page, "effort 2")
    tap(page, "Save")
    shown(page, "1 session")
    (record,) = done(FolderStore(tmp_path).sessions.records())
    assert (record.session.plan_name, record.effort) == (ONE_ROUND.name, 2)


def test_the_whole_job_can_be_done_with_the_keyboard_alone(
    page: Page, start_app: Callable[..., str], tmp_path: Path
) -> None:
    done(FolderStore(tmp_path).plans.save(BRIEF))
    on(page, start_app(tmp_path))
    whole_job(page)
    (record,) = done(FolderStore(tmp_path).sessions.records())
    assert (record.effort, record.note) == (6, "Pleasant")


def test_a_plan_comes_by_a_link_goes_on_after_a_reload_and_is_handed_on_as_a_code(
    page: Page, start_app: Callable[..., str], tmp_path: Path
) -> None:
    """The code was blank in both engines while it was an image of bytes; zxing-cpp reads the screen."""
    store = FolderStore(tmp_path)
    done(store.person.save_profile(profile()))
    done(store.person.save_settings(Settings(base_address=BASE)))
    url = start_app(tmp_path)
    on(page, f"{url}#{fragment(GUEST)}")
    shown(page, "Ines Okonjo")
    tap(page, "Save this plan")
    shown(page, "A guest's evening is saved, and chosen")
    tap(page, "Back")
    shown(page, "How many minutes")
    tap(page, "Start")
    shown(page, "Something hurts")
    tap(page, "Pause")
    shown(page, " to go")
    on(page, url)
    shown(page, " to go")
    tap(page, "End here and log")
    shown(page, "How was it")
    tap(page, "Save")
    shown(page, "1 session")
    tap(page, "Next session")
    tap(page, "Plans")
    tap(page, "What A guest's evening asks")
    tap(page, "Change this plan")
    tap(page, "Hand over")
    assert codes_on(page) == [link(BASE, GUEST)]


def codes_on(page: Page) -> list[str]:
    """What the codes on a page say, once one can be read there; the page moves them when it grows."""
    code = page.get_by_role("img", name="QR code of the link").first
    for _ in range(LOOKS):
        with suppress(PlaywrightError):  # it is being laid out
            code.scroll_into_view_if_needed(timeout=GONE_MS)
        if found := zxingcpp.read_barcodes(picture(page), formats=zxingcpp.BarcodeFormat.QRCode):
            return [code.text for code in found]
        page.wait_for_timeout(500)
    return []
