"""Data of the offline build: by link and file, in two windows, on a full device, where nothing is kept."""

import re
from pathlib import Path

import pytest
from builders import HAND, plan, record, work
from flutter_page import DROP, enable_semantics
from pages import page as coach_page
from phone_server import serve_folder
from phone_visits import all_kept, await_kept, hosted, picked, press, renewed, said, visited
from playwright.sync_api import BrowserContext, Page, expect
from walk import LIMIT_MS, shown, tap

from companion.paper.coach_page import page_html
from companion.views.home.backup import BRING_IN, SAVE
from companion.window.records import ANOTHER_WINDOW
from engine.plan.link import fragment
from engine.plan.plan import SessionPlan
from storage.exchange.backup import Holdings, read_backup

pytestmark = [pytest.mark.browser, pytest.mark.phone]

GUEST = plan(work(HAND.slug), id="harbour-guest", name="A guest's evening", author="Ines Okonjo")
OTHER = plan(work(HAND.slug), id="quay-morning", name="A morning at the quay", author="Tove Aas")


def backup_saved(page: Page, *, by_page: bool = False) -> tuple[bytes, Holdings]:
    """What the application, or the page's own line, saves when it is asked for a backup."""
    with page.expect_download() as download:
        press(page, "Save a copy") if by_page else tap(page, SAVE)
    assert re.fullmatch(r"session-companion-\d{4}-\d\d-\d\d\.json", download.value.suggested_filename)
    content = Path(download.value.path()).read_bytes()
    return content, read_backup(content, download.value.suggested_filename)


def plans_kept(page: Page) -> list[SessionPlan]:
    return [SessionPlan.model_validate(one) for one in all_kept(page, "plans")]


FULL = """full => {
  const { put, add } = self.sound ??= { ...Object.getOwnPropertyDescriptors(IDBObjectStore.prototype) };
  const refused = { ...put, value() { throw new DOMException("no room", "QuotaExceededError"); } };
  Object.defineProperties(IDBObjectStore.prototype, full ? { put: refused, add: refused } : { put, add });
}"""
"""Makes the device full for Python's worker: what the browser offers for it does not reach its database."""


def test_plans_come_by_link_and_file_go_out_as_a_backup_and_one_of_two_windows_writes(
    phone_host: Path, context: BrowserContext
) -> None:
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/#{fragment(GUEST)}")
        tap(page, "I have read this")
        shown(page, "by Ines Okonjo")
        shown(page, "60 s work and 30 s rest")
        assert plans_kept(page) == []
        await_kept(page)
    context.set_offline(True)
    tap(page, "Save this plan")
    shown(page, "A guest's evening is saved, and chosen")
    assert GUEST in plans_kept(page)
    picked(page, "Open a file", "quay.json", OTHER.model_dump_json().encode())
    tap(page, "Save this plan")
    shown(page, "A morning at the quay is saved")
    tap(page, "Pages received")
    page.evaluate(DROP, [("runa.html", page_html(coach_page((record(),), person={"name": "Runa"})))])
    expect(page.get_by_role("button", name="Open Runa")).to_be_visible(timeout=LIMIT_MS)
    tap(page, "Back")
    tap(page, "Back")
    tap(page, "Settings")
    backup, holdings = backup_saved(page)
    assert [plan for plan in holdings.plans if plan in (GUEST, OTHER)] == [GUEST, OTHER]
    picked(page, BRING_IN, "backup.json", backup)
    shown(page, "All that the backup holds was here already")

    second = visited(context, page.url)
    shown(second, ANOTHER_WINDOW)
    page.close()  # and the second one has the records by itself
    expect(second.get_by_text(ANOTHER_WINDOW)).to_have_count(0, timeout=LIMIT_MS)
    tap(second, "Start")
    shown(second, "Pause")
    assert len(all_kept(second, "run")) > 0


NEWER = """() => new Promise((resolve, reject) => {
  const name = `session-companion ${new URL(".", location.href).pathname}`;
  indexedDB.databases().then((all) => {
    const opening = indexedDB.open(name, all.find((one) => one.name === name).version + 100);
    opening.onsuccess = () => { opening.result.close(); resolve(); };
    opening.onerror = () => reject(opening.error);
  });
})"""
"""Brings the database up as the next version of the application would."""


def test_after_a_host_went_back_to_an_older_version_it_is_said_and_nothing_looks_new(
    phone_host: Path, context: BrowserContext
) -> None:
    """An older version opened with a memory that was empty: nobody had ever trained."""
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        shown(page, "How many minutes")
        kept = all_kept(page, "profile")
        page.goto(f"{origin}/app/icon.svg")
        page.evaluate(NEWER)
        page = visited(context, f"{origin}/app/")
        shown(page, "The records cannot be read")
        shown(page, "A newer version of this page saved your records in this browser")
        expect(page.get_by_text("I have read this")).to_have_count(0)
        assert all_kept(page, "profile") == kept


def test_a_version_too_old_for_the_records_gives_way_although_a_session_waits_in_them(
    phone_host: Path, context: BrowserContext, tmp_path: Path
) -> None:
    """It could never go on with that session, and so no newer version was ever taken again."""
    hosted(tmp_path, phone_host / "app")
    renewed(phone_host / "app", tmp_path / "second", "The second")
    with serve_folder(tmp_path) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        tap(page, "Start")
        shown(page, "Pause")
        page.goto(f"{origin}/app/icon.svg")
        page.evaluate(NEWER)
        hosted(tmp_path, tmp_path / "second")
        page = visited(context, f"{origin}/app/")
        shown(page, "A newer version of this page saved your records in this browser")
        assert page.title() == "Session companion"
        context.pages[0].close()
        said(page, "A new version is ready.")
        with page.expect_navigation():
            press(page, "Use it now")
        index = page.evaluate("async () => (await fetch('index.html')).text()")
        assert "<title>The second</title>" in index


def test_where_the_device_is_full_it_is_said_and_a_copy_of_what_is_kept_can_be_saved(
    phone_host: Path, context: BrowserContext
) -> None:
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        tap(page, "I have read this")
        shown(page, "How many minutes")
        (profile,) = all_kept(page, "profile")
        page.workers[0].evaluate(FULL, True)
        tap(page, "Start")
        said(page, "There is no room left for this page")
        _, holdings = backup_saved(page, by_page=True)
        assert [one.model_dump(mode="json") for one in holdings.profiles] == [profile]
        page.workers[0].evaluate(FULL, False)
        in_the_way = page.locator("flt-semantics", has_text="There is no room left")
        expect(in_the_way).to_have_count(
            0, timeout=LIMIT_MS
        )  # the application says it too, above its buttons
        tap(page, "Start")
        shown(page, "Pause")
        assert len(all_kept(page, "run")) > 0


def test_where_the_browser_keeps_nothing_it_is_said_and_a_session_can_be_done_and_saved_as_a_file(
    phone_host: Path, refusing: Page
) -> None:
    with serve_folder(phone_host) as origin:
        refusing.goto(f"{origin}/app/")
        enable_semantics(refusing)
        said(refusing, "This browser keeps nothing for this page")
        tap(refusing, "I have read this")
        shown(refusing, "How many minutes")
        _, holdings = backup_saved(refusing, by_page=True)
        assert len(holdings.profiles) == 1
        tap(refusing, "Start")
        shown(refusing, "Pause")
