"""A window that crashes at any moment of a session: nothing acknowledged is lost, and it goes on from there.

``CRASHES`` sets how many windows crash in each mode; moments and presses are drawn from seeds.

In server mode Python outlives the window: the run goes on there until a new window takes it over. In the
offline build Python dies with the window, and whoever opens the next one owns the run.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from beside import done
from builders import BEND, HAND, plan, warm_up, work
from flutter_page import crash
from phone_server import serve_folder
from phone_visits import all_kept, put_kept, reloaded, visited
from playwright.sync_api import BrowserContext, Page
from walk import opened, shown, tap

from engine.live.events import Returned, RunningRecord
from engine.live.run import at, replay
from engine.live.state import Status
from engine.plan.plan import Amount, RoundsRange, SideChange, WarmUpItem
from storage.folder.store import FolderStore

pytestmark = pytest.mark.browser

CRASHES = int(os.environ.get("CRASHES", "1"))
MOST_PRESSES, LONGEST_WAIT_MS = 6, 1_500
PRESSED = (
    "Start",
    "Done",
    "Skip",
    "Previous",
    "Pause",
    "Go on",
    "Form slipped",
    "15 s more rest",
    "Once more",
)
AFTERWARDS = ("Save", "Next session")
AGAIN = plan(
    warm_up(items=(WarmUpItem(movement=BEND.slug, amount=Amount(low=4)),), rounds=RoundsRange(min=1, max=1)),
    work(HAND.slug, rounds=RoundsRange(min=12, max=12), work_s=20, rest_s=15),
    id="again-and-again",
    name="Again and again",
    side_change=SideChange(change_s=5),
)

NAMES = """() => [...document.querySelectorAll("flt-semantics[role=button]")]
  .map((one) => one.getAttribute("aria-label") || one.innerText)"""
CLICK = """name => [...document.querySelectorAll("flt-semantics[role=button]")]
  .find((one) => (one.getAttribute("aria-label") || one.innerText) === name)?.click()"""

Kept = Callable[[Page], RunningRecord | None]


def press_one_of(page: Page, names: tuple[str, ...], chance: random.Random) -> None:
    """Presses one of the buttons that are there, or waits where there is none."""
    there = [name for name in page.evaluate(NAMES) if name.startswith(names)]
    if there:
        page.evaluate(CLICK, chance.choice(there))
    page.wait_for_timeout(chance.randint(50, 400))


def walk_on(page: Page, chance: random.Random) -> None:
    """Some things that a person does; ends while a session runs."""
    for _ in range(chance.randint(1, MOST_PRESSES)):
        press_one_of(page, PRESSED, chance)
    while "Something hurts" not in page.evaluate(NAMES):
        press_one_of(page, (*PRESSED, *AFTERWARDS), chance)


def crashed_somewhere(page: Page, kept: Kept, chance: random.Random) -> tuple[RunningRecord, datetime]:
    """What was acknowledged shortly before the window crashed, and when it crashed."""
    walk_on(page, chance)
    while (acknowledged := kept(page)) is None:
        walk_on(page, chance)
    page.wait_for_timeout(chance.randint(0, LONGEST_WAIT_MS))
    if chance.random() < 0.5:
        page.evaluate(CLICK, chance.choice(["Skip", "Previous", "Pause", "Go on"]))
    crashed_at = datetime.now(UTC)
    crash(page)
    return acknowledged, crashed_at


def goes_on_from_there(page: Page, before: RunningRecord, after: RunningRecord, left_at: datetime) -> None:
    """Nothing acknowledged is gone, and what is shown is at most one segment behind the clock."""
    assert after.events[: len(before.events)] == before.events
    *events, returned = after.events
    assert isinstance(returned, Returned)
    left = replay(after.model_copy(update={"events": tuple(events)}))
    ran_to_ms = left.at_ms
    if left.status is Status.running:
        ran_to_ms += max(0, (left_at - events[-1].wall) // timedelta(milliseconds=1))
    assert 0 <= at(left, ran_to_ms).index - left.index <= 1
    found = replay(after)
    assert (found.status, found.index) == (Status.paused, left.index)
    shown(page, "You were away for")
    assert found.current is not None
    title = {"work": HAND.name, "warm_up": BEND.name}.get(found.current.kind)
    if title:
        shown(page, f"^{title}")


def test_a_window_of_the_server_that_crashed_leaves_its_run_to_the_next_window(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    store = FolderStore(tmp_path)
    done(store.plans.save(AGAIN))
    url = start_app(tmp_path)

    def kept(_: Page) -> RunningRecord | None:
        found: RunningRecord | None = done(FolderStore(tmp_path).run.read())
        return found

    page = opened(context, url)
    tap(page, "I have read this")
    tap(page, "One")
    for seed in range(CRASHES):
        before, _ = crashed_somewhere(page, kept, random.Random(seed))
        page = opened(context, url)
        shown(page, "You were away for|How was it")
        after = kept(page)
        assert after is not None
        assert after.run_id == before.run_id
        if replay(after).status is not Status.ended:
            goes_on_from_there(page, before, after, after.events[-1].wall)
            tap(page, "Go on")
        assert done(store.troubles()) == ()


@pytest.mark.phone
def test_a_window_of_the_offline_build_that_crashed_leaves_its_run_to_the_next_window(
    context: BrowserContext, phone_host: Path
) -> None:
    def kept(page: Page) -> RunningRecord | None:
        opening, *events = all_kept(page, "run") or [None]
        if opening is None:
            return None
        return RunningRecord.model_validate({**opening, "events": events})

    with serve_folder(phone_host) as origin:
        url = f"{origin}/app/"
        page = visited(context, url)
        shown(page, "I have read this")
        put_kept(page, "plans", AGAIN.id, AGAIN.model_dump_json())
        reloaded(page)
        tap(page, "I have read this")
        tap(page, "One")
        for seed in range(CRASHES):
            before, crashed_at = crashed_somewhere(page, kept, random.Random(seed))
            page = visited(context, url)
            shown(page, "You were away for|How was it")
            after = kept(page)
            assert after is not None
            if replay(after).status is not Status.ended:
                goes_on_from_there(page, before, after, crashed_at)
                tap(page, "Go on")
            assert all_kept(page, "aside") == []
