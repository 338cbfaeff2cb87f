"""The folder for copies in the offline build, whose Python reaches the page over a broadcast channel."""

from pathlib import Path

import pytest
from copies_page import FAILS_MIDWAY, PICKER, files_in, taps
from phone_server import serve_folder
from phone_visits import all_kept, visited
from playwright.sync_api import BrowserContext, Page
from walk import shown, tap

from companion.views.home.copies import CHOOSE
from storage.exchange.backup import read_backup
from storage.exchange.device_files import device_file
from storage.exchange.merge import union

pytestmark = [pytest.mark.browser, pytest.mark.phone]


def session(page: Page) -> None:
    for name in ("Start", "Pause", "End here and log", "Save"):
        tap(page, name)


def test_each_session_is_copied_into_the_chosen_folder_and_one_that_fails_leaves_the_copy_before(
    phone_host: Path, context: BrowserContext
) -> None:
    context.add_init_script(PICKER)
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        shown(page, "How many minutes")
        tap(page, "Settings")
        tap(page, CHOOSE)
        shown(page, "Copied to “Training”")
        assert [one["active"] for one in taps(page)] == [True], "the tap still counts in the page"
        tap(page, "Back")
        session(page)
        shown(page, "Saved. Copied to “Training”")
        before = files_in(page)
        page.evaluate(FAILS_MIDWAY)
        tap(page, "Next session")
        session(page)
        shown(page, "Saved. There is no room left for a copy")
        assert len(all_kept(page, "records")) == 2, "the session is saved whatever the copy does"
        assert files_in(page) == before
        held = union(*(read_backup(content, name) for name, content in before.items()))
        assert {record.id for record in held.records} < {one["id"] for one in all_kept(page, "records")}
        assert {one.month for name in before if (one := device_file(name))} > {""}
