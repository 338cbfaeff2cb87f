"""Two people on one phone: each with records of their own, in a database of their own."""

from pathlib import Path

import pytest
from forms import write
from phone_server import serve_folder
from phone_visits import all_kept, reloaded, visited
from playwright.sync_api import BrowserContext
from walk import shown, tap

from companion.views.controls.frame import SOMEBODY_ELSE
from companion.views.home.settings import ADD
from companion.views.home.who import TITLE

pytestmark = [pytest.mark.browser, pytest.mark.phone]


def test_two_people_share_a_phone(phone_host: Path, context: BrowserContext) -> None:
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        tap(page, "Two")
        tap(page, "Settings")
        write(page, "Name", "")
        page.keyboard.press("ControlOrMeta+A")
        page.keyboard.type("Runa")
        write(page, "Their name", "Odd")
        tap(page, ADD)
        tap(page, "I have read this")
        shown(page, "Training now: Odd")
        assert len(all_kept(page, "profile")) == 1, "the first one's, which is as it was"

        tap(page, "Start")
        shown(page, "Something hurts")
        assert all_kept(page, "run") == [], "the session in progress is not the first one's"
        reloaded(page)
        shown(page, "Paused")
        tap(page, SOMEBODY_ELSE)
        shown(page, TITLE)
        shown(page, "A session waits: ")
        tap(page, "Runa")
        shown(page, "Training now: Runa")
