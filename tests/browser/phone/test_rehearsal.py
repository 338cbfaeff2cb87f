"""The upgrade rehearsal of the offline build: yesterday's, as it was frozen, under today's and a later one.

Somebody has a year of sessions, and stops in the middle of another. The host gets today's build, then a next
version that is invented (today's code with raised versions and one step), and then yesterday's again.
Yesterday's own words are pressed here; they change when it is frozen again (`renew rehearsal`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flutter_page import enable_semantics
from phone_server import serve_folder
from phone_visits import (
    await_kept,
    await_memory,
    await_python,
    database,
    hosted,
    picked,
    press,
    said,
    version_of,
    visited,
)
from playwright.sync_api import BrowserContext, Page, expect
from rehearsal import RENAMED, TOLD, built, called, day_after, yesterday, yesterdays_folder
from walk import shown, tap, there
from year_before import WHO

pytestmark = [pytest.mark.browser, pytest.mark.phone]

COUNTS: dict[str, int] = json.loads(TOLD.read_text("utf-8"))["counts"]
BACK_UP = "from companion.cli.main import main; sys.exit(main(['backup', *sys.argv[1:]]))"
DERIVED = ("counted", "weeks")
NEWER = "A newer version of this page kept your records in this browser"
FORGET_FILES = """async () => {
  for (const key of await caches.keys()) await caches.delete(key);
  for (const one of await navigator.serviceWorker.getRegistrations()) await one.unregister();
}"""
"""A browser that has thrown away the files of the page, but none of the records."""
SERVED = """async () => {
  const served = await caches.match(new URL("served", location.href));
  return served && served.text();
}"""


class Builds:
    """The builds, and the folder of the host that gets one after another."""

    def __init__(self, root: Path, today: Path) -> None:
        checkout = yesterday(root / "yesterday")
        self.today, self.host = today, root / "host"
        self.yesterday = built(checkout, root / "yesterday-built")
        self.next = built(day_after(root / "next"), root / "next-built")
        self.backup = root / "backup.json"
        folder = yesterdays_folder(root / "folder")
        called(checkout, BACK_UP, str(folder), "--out", str(self.backup))

    def put(self, build: Path) -> None:
        hosted(self.host, build)


@pytest.fixture(scope="module")
def builds(phone_host: Path, tmp_path_factory: pytest.TempPathFactory) -> Builds:
    return Builds(tmp_path_factory.mktemp("rehearsal"), phone_host / "app")


@pytest.fixture
def url(builds: Builds) -> Iterator[str]:
    builds.put(builds.yesterday)
    with serve_folder(builds.host) as origin:
        yield f"{origin}/app/"


def a_year_then_a_session_and_half_of_another(page: Page, backup: bytes) -> None:
    """In yesterday's words."""
    tap(page, "I have read this")
    shown(page, "How many minutes")
    tap(page, "Settings")
    picked(page, "Bring a backup in", "backup.json", backup)
    there(page, "New here")
    tap(page, "Dark")
    tap(page, "Back")
    tap(page, "Start")
    tap(page, "Done")
    tap(page, "Pause")
    tap(page, "End here and log")
    tap(page, "Save")
    shown(page, "1 session")
    tap(page, "Next session")
    tap(page, "Start")
    tap(page, "Done")
    tap(page, "Pause")
    shown(page, "Paused")


def taken(page: Page) -> None:
    """Has the version that waits take over, and waits for its Python: until then the page may load again."""
    said(page, "A new version is ready.")
    with page.expect_navigation():
        press(page, "Use it now")
    await_python(page)
    enable_semantics(page)


def documents(kept: dict[str, Any], *, but: tuple[str, ...] = ()) -> dict[tuple[str, str], Any]:
    """What is kept that is not derived, by shelf and key."""
    return {
        (shelf, key): json.loads(text)
        for shelf, texts in kept["shelves"].items()
        for key, text in texts.items()
        if shelf not in (*DERIVED, *but)
    }


def changed(then: dict[tuple[str, str], Any], now: dict[tuple[str, str], Any]) -> dict[tuple[str, str], Any]:
    """What is lost, or has another content than before."""
    return {place: now.get(place) for place, document in then.items() if now.get(place) != document}


def sessions_by_week(kept: dict[str, Any]) -> dict[str, int]:
    weeks = [json.loads(text) for text in kept["shelves"]["weeks"].values()]
    return {week["iso_week"]: week["sessions"] for week in weeks}


def test_yesterdays_build_gives_way_to_newer_ones_with_all_that_it_kept_and_takes_nothing_back(
    builds: Builds, context: BrowserContext, url: str
) -> None:
    page = visited(context, url)
    a_year_then_a_session_and_half_of_another(page, builds.backup.read_bytes())
    await_kept(page)
    await_memory(page)
    yesterdays = database(page)
    assert len(yesterdays["shelves"]["records"]) == COUNTS["records"] + 1
    assert len(yesterdays["shelves"]["tombstones"]) == COUNTS["tombstones"]
    page.close()

    page = waits_while_a_session_is_in_progress(builds, context, url)
    passing_over_the_worker_changes_nothing(builds, page, yesterdays)
    todays = opened_by_today_where_the_files_are_gone(builds, context, page, url, yesterdays)
    nexts = taken_and_migrated(builds, context, url, todays)
    back_to_yesterday_it_is_said_and_nothing_changes(builds, context, url, nexts)
    builds.put(builds.next)
    page = visited(context, url)
    taken(page)
    shown(page, "How many minutes")
    assert changed(documents(nexts), documents(database(page))) == {}


def waits_while_a_session_is_in_progress(builds: Builds, context: BrowserContext, url: str) -> Page:
    builds.put(builds.today)
    page = visited(context, url)
    shown(page, "You were away for")
    said(page, "A new version is ready.")
    press(page, "Use it now")
    said(page, "The new version is taken once the session is over.")
    assert page.evaluate(SERVED) == version_of(builds.yesterday)
    return page


def passing_over_the_worker_changes_nothing(builds: Builds, page: Page, before: dict[str, Any]) -> None:
    """A reload that asks the host for everything: today's page once opened the records beside yesterday's."""
    devtools = page.context.new_cdp_session(page)
    devtools.send("Page.enable")
    with page.expect_navigation(), page.expect_navigation():  # the second is the page's own
        devtools.send("Page.reload", {"ignoreCache": True})
    await_python(page)
    enable_semantics(page)
    shown(page, "You were away for")
    assert page.evaluate("Boolean(navigator.serviceWorker.controller)")
    assert page.evaluate(SERVED) == version_of(builds.yesterday)
    assert database(page)["number"] == before["number"]


def opened_by_today_where_the_files_are_gone(
    builds: Builds, context: BrowserContext, page: Page, url: str, before: dict[str, Any]
) -> dict[str, Any]:
    page.goto(f"{url}icon.svg")
    page.evaluate(FORGET_FILES)
    page.close()
    page = visited(context, url)
    shown(page, "You were away for")
    now = database(page)
    assert changed(documents(before), documents(now)) == {}
    assert sessions_by_week(now) == sessions_by_week(before)
    assert json.loads(now["shelves"]["settings"]["only"])["theme"] == "dark"
    tap(page, "End here and log")
    tap(page, "Save")
    shown(page, "2 sessions")
    await_kept(page)
    kept = database(page)
    assert page.evaluate(SERVED) == version_of(builds.today)
    assert len(kept["shelves"]["records"]) == COUNTS["records"] + 2
    assert changed(documents(before, but=("run",)), documents(kept)) == {}
    page.close()
    return kept


def taken_and_migrated(
    builds: Builds, context: BrowserContext, url: str, before: dict[str, Any]
) -> dict[str, Any]:
    builds.put(builds.next)
    page = visited(context, url)
    taken(page)
    shown(page, "How many minutes")
    assert page.evaluate(SERVED) == version_of(builds.next)
    kept = database(page)
    assert kept["number"] > before["number"] + 50, "the number of a version is in its hundreds"
    (profile,) = changed(documents(before), documents(kept)).values()
    assert profile["name"] == f"Person {WHO}{RENAMED}"
    assert list(kept["shelves"]["aside"]) == ["before version 2"]
    assert sessions_by_week(kept) == sessions_by_week(before)
    assert kept["shelves"]["counted"] != before["shelves"]["counted"], "derived again"
    page.close()
    return kept


def back_to_yesterday_it_is_said_and_nothing_changes(
    builds: Builds, context: BrowserContext, url: str, before: dict[str, Any]
) -> None:
    builds.put(builds.yesterday)
    page = visited(context, url)
    taken(page)
    for _ in range(2):
        shown(page, "The records cannot be read")
        shown(page, NEWER)
        assert page.evaluate(SERVED) == version_of(builds.yesterday)
        expect(page.get_by_text("I have read this")).to_have_count(0)
        expect(page.get_by_role("button", name="Start")).to_have_count(0)
        assert database(page) == before
        page.close()
        page = visited(context, url)
    page.close()
