"""After one visit the offline build needs nobody.

The whole main job with the host gone and the network off, through a crash of the window, to a saved session;
and a new version that finds it.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from builders import BEND, HAND, plan, warm_up, work
from flutter_page import RECORD_VIBRATIONS, await_vibrations, crash
from phone_server import OutsideRequests, refuse_outside, serve_folder
from phone_visits import (
    all_kept,
    await_kept,
    hosted,
    press,
    put_kept,
    reloaded,
    renewed,
    said,
    version_of,
    visited,
)
from playwright.sync_api import Browser, BrowserContext, Page
from walk import on_warm_up, shown, tap

from engine.live.cues import PATTERNS_MS, CueKind
from engine.plan.plan import Amount, RoundsRange, SideChange, WarmUpItem

pytestmark = [pytest.mark.browser, pytest.mark.phone]

SHORT = plan(
    warm_up(items=(WarmUpItem(movement=BEND.slug, amount=Amount(low=4)),), rounds=RoundsRange(min=1, max=1)),
    work(HAND.slug, rounds=RoundsRange(min=1, max=1), work_s=20, rest_s=15),
    id="a-short-one",
    name="A short one",
    side_change=SideChange(change_s=5),
)
COUNT_PERSIST = """
window.__persist = 0;
if (window.StorageManager) {
const persist = StorageManager.prototype.persist;
StorageManager.prototype.persist = function () { window.__persist += 1; return persist.call(this); };
}
"""


@pytest.fixture
def outside() -> OutsideRequests:
    return OutsideRequests()


@pytest.fixture
def device(browser: Browser, outside: OutsideRequests) -> Iterator[BrowserContext]:
    """A fresh profile at phone size; whatever would leave this machine ends at a proxy that notes it."""
    with refuse_outside(outside) as proxy:
        way_out = {"server": proxy, "bypass": "127.0.0.1"}
        context = browser.new_context(viewport={"width": 412, "height": 915}, proxy=way_out)
        context.add_init_script(RECORD_VIBRATIONS)
        context.add_init_script(COUNT_PERSIST)
        yield context
        context.close()


def test_after_one_visit_the_whole_job_goes_on_without_host_and_network_and_through_a_crash(
    phone_host: Path, tmp_path: Path, device: BrowserContext, outside: OutsideRequests
) -> None:
    asked: list[str] = []
    device.on("request", lambda request: asked.append(request.url))
    hosted(tmp_path, phone_host / "app")
    with serve_folder(tmp_path) as origin:
        url = f"{origin}/app/"
        page = visited(device, url)
        shown(page, "I have read this")
        await_kept(page)
        said(page, "Ready without network.")
        assert page.evaluate("window.__persist") == 1
        put_kept(page, "plans", SHORT.id, SHORT.model_dump_json())
    device.set_offline(True)

    reloaded(page)
    start_and_warm_up(page)
    before = all_kept(page, "run")

    crash(page)
    page = visited(device, url)
    shown(page, "You were away for")
    after = all_kept(page, "run")
    assert after[: len(before)] == before
    assert [event["kind"] for event in after[len(before) :]] == ["mark"] * (len(after) - len(before) - 1) + [
        "returned"
    ]
    tap(page, "Go on")
    shown(page, "How was it")
    tap(page, "Save")
    shown(page, "1 session")

    (record,) = all_kept(page, "records")
    assert record["session"]["plan_name"] == "A short one"
    assert all_kept(page, "run") == []
    assert [url for url in asked if not url.startswith((origin, "data:", "blob:"))] == []
    assert outside.seen == []


def start_and_warm_up(page: Page) -> None:
    """From the cautions to the work, whose first cues are felt."""
    tap(page, "I have read this")
    tap(page, "5 minutes less")
    tap(page, "One")
    tap(page, "Start")
    on_warm_up(page)
    tap(page, "Done")
    felt = await_vibrations(page, 3, limit_ms=60_000)
    kinds = (CueKind.block_done, CueKind.countdown, CueKind.work)
    assert [one.pattern_ms for one in felt[:3]] == [PATTERNS_MS[kind] for kind in kinds]


def test_a_new_version_is_announced_and_taken_once_no_session_runs_and_finds_what_the_old_one_kept(
    phone_host: Path, tmp_path: Path, device: BrowserContext
) -> None:
    hosted(tmp_path, phone_host / "app")
    renewed(phone_host / "app", tmp_path / "second", "The second")
    with serve_folder(tmp_path) as origin:
        page = visited(device, f"{origin}/app/")
        tap(page, "I have read this")
        await_kept(page)
        tap(page, "Start")
        on_warm_up(page)
        hosted(tmp_path, tmp_path / "second")
        page.evaluate("navigator.serviceWorker.controller.postMessage({ kind: 'keep' })")
        said(page, "A new version is ready.")
        press(page, "Use it now")
        said(page, "The new version is taken once the session is over.")
        before = all_kept(page, "run")
        page.close()

        page = visited(device, f"{origin}/app/")
        shown(page, "You were away for")
        assert page.title() == "Session companion"
        assert all_kept(page, "run")[: len(before)] == before
        tap(page, "End here and log")
        tap(page, "Save")
        shown(page, "1 session")
        said(page, "A new version is ready.")
        with page.expect_navigation():
            press(page, "Use it now")
        await_kept(page)
        index = page.evaluate("async () => (await fetch('index.html')).text()")
        assert "<title>The second</title>" in index
        kept = page.evaluate("async () => (await caches.keys()).sort()")
        assert kept == sorted([f"companion /app/ {version_of(tmp_path / 'app')}", "companion-versions /app/"])
        assert len(all_kept(page, "records")) == 1
