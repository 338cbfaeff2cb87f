"""The folder for copies in a real browser: chosen by a tap, written after a session, lapsed, full, gone."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import builders
import pytest
from accessibility import violations
from beside import done
from builders import STARTED_AT
from copies_page import FAILS_MIDWAY, GONE, PICKER, PUT, answer_to, files_in, taps
from flutter_page import enable_semantics
from playwright.sync_api import BrowserContext, Page, expect
from short_plan import SHORT
from walk import LIMIT_MS, opened, shown, tap

from companion.views.home.copies import ALLOW, CHOOSE, DECIDE, STAY, STOP, TAKE_IN
from companion.views.home.differences import KEEP_BOTH, TAKE_OTHER
from engine.movements.movement import Kit
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import gather, read_backup, write_backup
from storage.exchange.device_files import DeviceFile, device_file
from storage.exchange.merge import union
from storage.folder.store import FolderStore
from storage.models import KitOwned

pytestmark = pytest.mark.browser

TAP_COUNTS_MS = 5_000
"""How long a tap counts in Chromium (from memory), the “few seconds” of HTML, section 6.4.1."""


@pytest.fixture
def store(tmp_path: Path) -> FolderStore:
    return FolderStore(tmp_path)


@pytest.fixture
def page(context: BrowserContext, start_app: Callable[..., str], tmp_path: Path, store: FolderStore) -> Page:
    """A window on the first screen, over a folder with one plan and a session of the winter before."""
    context.add_init_script(PICKER)
    done(store.plans.save(SHORT))
    done(store.sessions.save(builders.record(record_id="winter", started_at=STARTED_AT)))
    page = opened(context, start_app(tmp_path))
    tap(page, "I have read this")
    shown(page, "How many minutes")
    return page


def choose(page: Page) -> None:
    tap(page, "Settings")
    tap(page, CHOOSE)
    shown(page, "Copied to “Training”")


def session(page: Page) -> None:
    tap(page, "Back")
    tap(page, "One")
    tap(page, "Start")
    tap(page, "Pause")
    tap(page, "End here and log")
    tap(page, "Save")


def test_a_folder_chosen_by_one_tap_gets_each_session_and_is_known_after_a_reload(
    page: Page, store: FolderStore
) -> None:
    choose(page)
    (first,) = taps(page)
    assert first["active"], "the tap still counts after its way through Python"
    assert first["ms"] < TAP_COUNTS_MS
    assert {one.month for name in files_in(page) if (one := device_file(name))} == {"", "2026-03"}
    page.reload()
    enable_semantics(page)
    shown(page, "Copies go to “Training”")
    shown(page, STAY.format(folder="Training"))
    session(page)
    shown(page, "Saved. Copied to “Training”")
    held = union(*(read_backup(content, name) for name, content in files_in(page).items()))
    assert held == done(gather(store)).holdings
    assert len(held.records) == 2


def test_a_permission_that_lapsed_is_asked_for_by_the_next_save_and_a_refusal_is_one_quiet_line(
    page: Page, store: FolderStore
) -> None:
    choose(page)
    before = files_in(page)
    page.evaluate("window.__granted = 'prompt'; window.__answer = 'denied'")
    session(page)
    shown(page, "Saved. The latest copy for “Training” waits")
    assert [one["active"] for one in taps(page)] == [True, True]
    assert len(done(store.sessions.records())) == 2, "the session is saved regardless"
    assert files_in(page) == before
    page.evaluate("window.__granted = 'prompt'; window.__answer = 'granted'")
    tap(page, "Next session")
    tap(page, "Settings")
    tap(page, ALLOW)
    shown(page, "^Copied to “Training”")
    assert len(files_in(page)) == 3


def test_a_copy_that_fails_midway_leaves_the_one_before_whole(page: Page, store: FolderStore) -> None:
    choose(page)
    before = files_in(page)
    page.evaluate(FAILS_MIDWAY)
    session(page)
    shown(page, "Saved. There is no room left for a copy in the folder “Training”")
    assert files_in(page) == before
    assert len(done(store.sessions.records())) == 2


def test_a_folder_that_is_gone_is_said_and_another_can_be_chosen(page: Page, store: FolderStore) -> None:
    choose(page)
    page.evaluate(GONE)
    session(page)
    shown(page, "Saved. The folder “Training” is not there any more")
    assert len(done(store.sessions.records())) == 2
    tap(page, "Next session")
    tap(page, "Settings")
    tap(page, STOP)
    tap(page, CHOOSE)
    shown(page, "Copied to “Training”")
    assert len(files_in(page)) == 3


def test_what_another_device_wrote_in_the_folder_is_taken_in(page: Page, store: FolderStore) -> None:
    choose(page)
    phone = BrowserStore(MemoryShelves())
    profile = done(store.person.profile())
    done(phone.person.save_profile(profile))
    for number in range(90):
        done(phone.sessions.save(builders.record(record_id=f"on-the-phone-{number}", note="👍🏽" * 1_000)))
    content = write_backup(done(gather(phone)).holdings).decode()
    assert len(content.encode()) > 1_200_000, "a file in more than two parts"
    page.evaluate(PUT, [DeviceFile(done(phone.device()), "").name, content])
    tap(page, TAKE_IN)
    shown(page, "New from your other device: 90 sessions")
    kept = done(store.sessions.records())
    assert all(record in kept for record in done(phone.sessions.records()))


def test_what_is_in_two_versions_is_shown_beside_each_other_and_decided_one_by_one(
    page: Page, store: FolderStore
) -> None:
    done(store.person.save_kit(KitOwned(dumbbells=Kit.single)))
    choose(page)
    phone = BrowserStore(MemoryShelves())
    done(phone.person.save_profile(done(store.person.profile())))
    done(phone.person.save_kit(KitOwned(dumbbells=Kit.pair)))
    done(phone.plans.save(SHORT.model_copy(update={"name": "A shorter one", "transition_s": 75})))
    content = write_backup(done(gather(phone)).holdings).decode()
    page.evaluate(PUT, [DeviceFile(done(phone.device()), "").name, content])
    tap(page, TAKE_IN)
    shown(page, "Different here and on another device: kit and plan “A short one”")
    assert done(store.person.kit()) == KitOwned(dumbbells=Kit.single), "nothing is replaced unasked"
    tap(page, DECIDE)
    shown(page, "Changeover")
    shown(page, "1:15")
    shown(page, "A shorter one")
    assert violations(page) == []
    tap(page, f"{TAKE_OTHER}: Kit")
    expect(page.get_by_role("button", name=re.compile(": Kit"))).to_have_count(0, timeout=LIMIT_MS)
    assert done(store.person.kit()) == KitOwned(dumbbells=Kit.pair)
    assert done(store.plans.all()) == (SHORT,)
    tap(page, f"{KEEP_BOTH}: Plan")
    shown(page, "Copies go to “Training”")
    assert [plan.name for plan in done(store.plans.all())] == ["A short one", "A shorter one"]


def test_a_browser_without_such_folders_offers_none(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    """As Firefox and Safari: they have no showDirectoryPicker."""
    context.add_init_script("delete window.showDirectoryPicker;")
    page = opened(context, start_app(tmp_path))
    tap(page, "I have read this")
    tap(page, "Settings")
    shown(page, "Save a backup")
    expect(page.get_by_role("button", name=CHOOSE)).to_have_count(0)


def test_no_other_program_and_nobody_else_who_trains_here_gets_at_the_files(
    page: Page, store: FolderStore
) -> None:
    """A page goes on with whatever answers at its address: its own Python is known by a key."""
    choose(page)
    whose = done(store.device())
    assert answer_to(page, do="look", whose=whose)["name"] == "Training"
    assert len(answer_to(page, do="list", whose=whose)["files"]) == 2
    stranger = answer_to(page, do="list", whose=whose, key="0" * 32)
    assert (stranger["outcome"], "files" in stranger) == ("stranger", False)
    assert "name" not in answer_to(page, do="look", whose="somebody-else")
    assert answer_to(page, do="list", whose="somebody-else")["outcome"] == "gone"
    assert answer_to(page, do="read", whose=whose, name="../notes.txt")["outcome"] == "failed"
