"""The empty, faulty and long-text states of every screen at phone size: accessible, within their edges.

The usual states are those of test_every_screen.py. To keep the pictures: PICTURES=FOLDER.
"""

import json
import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from accessibility import OUT_OF_REACH, violations
from beside import done
from builders import BEND, adjustment, movement, plan, practice, profile, record, session, warm_up, work
from flutter_page import screenshot
from forms import pick, write
from playwright.sync_api import BrowserContext, Page, expect
from walk import LIMIT_MS, opened, shown, tap

from companion.style.kinds import KIND_WORD
from companion.style.pain_words import ABOUT_PAIN, NO_SESSION
from companion.views.home.backup import BRING_IN
from companion.views.home.plans import READ, TAKE_IN, WRITE
from companion.window.records import ANOTHER_WINDOW
from engine.movements.movement import MovementPattern, Sides
from engine.plan.link import fragment
from engine.plan.plan import Amount, AmountUnit, RoundsRange, WarmUpItem
from storage.folder.store import FolderStore

pytestmark = pytest.mark.browser

LONG = "Alternating reverse lunge with a turn of the trunk and the weight at the opposite shoulder"
WORDS = "What a person writes may run on and on, and nothing of it is cut off or pushes anything away. "
LUNGE = movement(
    "long-lunge", sides=Sides.leg, name=LONG, pattern=MovementPattern.lunge, cues=(WORDS.strip(),) * 3
)
STRETCH = movement("long-stretch", name=f"{LONG} again", pattern=MovementPattern.mobility, starts_with="hold")
ONCE = RoundsRange(min=1, max=1)
LENGTHY = plan(
    warm_up(
        items=(WarmUpItem(movement=STRETCH.slug, amount=Amount(low=30, unit=AmountUnit.seconds)),),
        rounds=ONCE,
    ),
    practice(movements=(LUNGE.slug,)),
    work(LUNGE.slug, rounds=ONCE, work_s=240),
    movements=(LUNGE, STRETCH, BEND),
    id="lengthy",
    name=f"An evening for {LONG}",
    author="Ines Okonjo-Halvorsen of the rowing club behind the old boathouse",
    note=WORDS * 4,
)
State = tuple[str, Page]
"""Its name, and the window that shows it."""


def lengthy_folder(folder: Path) -> None:
    """One plan, one person and one session of an earlier day, all of them wordy."""
    store, yesterday = FolderStore(folder), datetime.now(UTC) - timedelta(hours=30)
    person = profile(name="Runa Dahl of the second boat, Thursdays", cautions_read_at=yesterday)
    done(store.person.save_profile(person))
    done(store.plans.save(LENGTHY))
    log = record(session(LENGTHY), started_at=yesterday, effort=7, note=WORDS * 4)
    done(store.sessions.save(log))


def before_the_session(page: Page) -> Iterator[State]:
    shown(page, "How many minutes")
    yield "setup-long", page
    tap(page, "Any joint worse")
    shown(page, "Save")
    yield "afterwards-empty", page
    tap(page, "Not now")
    shown(page, "How many minutes")
    tap(page, "Kit and weights")
    shown(page, "No dumbbell is listed yet")
    yield "kit-empty", page
    write(page, "Weight of a dumbbell", "heavy")
    tap(page, "Add it")
    shown(page, "Write a weight such as")
    yield "kit-fault", page
    tap(page, "Back")
    tap(page, "Settings")
    pick(page, "backup.json", "{}", by=BRING_IN)
    shown(page, "not a whole backup")
    yield "settings-fault", page
    tap(page, "Back")


def looking_back(page: Page, folder: Path) -> Iterator[State]:
    tap(page, "The week")
    shown(page, "Week before")
    if not page.get_by_role("button", name="Open ").count():  # a session of Sunday, looked back on on Monday
        tap(page, "Week before")
    shown(page, "1 session")
    yield "week-long", page
    (session_file,) = (folder / "sessions").rglob("*.json")
    whole = session_file.read_bytes()
    session_file.write_bytes(whole[:100])
    tap(page, "Open ")
    shown(page, "This session was erased")
    yield "week-fault", page
    session_file.write_bytes(whole)
    tap(page, "Open ")
    shown(page, "How hard was the session")
    yield "record-long", page
    tap(page, "Leave as it is")
    tap(page, "Next session")


def plans_and_pages(page: Page) -> Iterator[State]:
    tap(page, "Plans")
    shown(page, "An evening for")
    yield "plans-long", page
    broken = LENGTHY.model_dump(mode="json")
    broken["blocks"][2]["movements"][0]["tempo"] = WORDS
    pick(page, f"{LENGTHY.id}.json", json.dumps(broken))
    shown(page, "cannot be saved: 1 fault")
    yield "plans-fault", page
    tap(page, "What An evening")
    shown(page, "by Ines")
    yield "plan-long", page
    tap(page, "Change this plan")
    shown(page, "Your draft is safe|Short of time")
    yield "desk-long", page
    tap(page, "Back")
    shown(page, TAKE_IN)
    tap(page, WRITE)
    shown(page, "No block yet")
    yield "desk-empty", page
    tap(page, "Back")
    shown(page, TAKE_IN)
    tap(page, READ)
    shown(page, "Pick the pages")
    yield "pages-empty", page
    pick(page, "page.html", "<p>No page of ours</p>", by="Pick pages")
    shown(page, "Not read")
    yield "pages-fault", page
    tap(page, "Back")
    shown(page, TAKE_IN)
    tap(page, "Back")


def links(page: Page) -> Iterator[State]:
    now = datetime.now(UTC)
    asked = adjustment(made_at=now, until=now.date() + timedelta(days=7), author=LENGTHY.author)
    shown(page, "How many minutes")
    page.evaluate("text => { location.hash = text; }", fragment(asked))
    shown(page, "Your coach asks")
    yield "adjustment-long", page
    tap(page, "Not now")
    shown(page, "How many minutes")
    page.evaluate("location.hash = 'plan=CUT0SHORT'")
    shown(page, "The link cannot be saved")
    yield "link-fault", page
    tap(page, "Back")


def too_sore_for_a_session(page: Page) -> Iterator[State]:
    """One question after the other, and after the last no the way to easy movement."""
    shown(page, "How many minutes")
    tap(page, "left knee")
    shown(page, "left knee: 0 no pain")
    tap(page, "pain 6")
    shown(page, NO_SESSION)
    yield "no-session", page
    for question in ABOUT_PAIN.values():
        tap(page, f"{question} No")
    shown(page, "Start easy movement")
    yield "no-session-easy", page


def kind_now(page: Page, *, after: str = "") -> str:
    """What is on; while it is drawn there is none for a moment, and ``after`` may still stand there."""
    kind = ""
    for _ in range(100):
        kind = next((word for word in KIND_WORD.values() if page.get_by_text(word, exact=True).count()), "")
        if kind not in ("", after):
            break
        page.wait_for_timeout(100)
    return kind


def skip_to(page: Page, wanted: str) -> None:
    """Skips one thing after the other, each only once it is shown."""
    now = kind_now(page)
    for _ in range(12):
        if now == wanted:
            return
        tap(page, "Skip")
        now = kind_now(page, after=now)
    raise AssertionError(f"{wanted} never came")


def in_the_session(page: Page, folder: Path) -> Iterator[State]:
    tap(page, "One")
    tap(page, "Start")
    shown(page, "of 0:30 held")
    yield "warm-up-long", page
    tap(page, "Done")
    shown(page, "Changeover")
    yield "next-block-long", page
    tap(page, "Skip")
    for kind in ("Practice", "Work"):
        skip_to(page, kind)
        yield f"{kind.lower()}-long", page
    tap(page, "Pause")
    shown(page, "Paused")
    yield "paused-long", page
    second = opened(page.context, page.url)
    shown(second, ANOTHER_WINDOW)
    yield "read-only", second
    second.close()
    tap(page, "Something hurts")
    shown(page, "Where. Tap the nearest")
    yield "hurt-empty", page
    tap(page, "Nothing hurts")
    running = folder / "running.jsonl"
    whole = running.read_bytes()
    running.unlink()
    tap(page, "End here and log")
    shown(page, "How was it")
    shown(page, "Not saved yet")
    yield "running-fault", page
    running.write_bytes(whole)
    expect(page.get_by_text("Not saved yet")).to_have_count(0, timeout=LIMIT_MS)
    yield "log-long", page
    (folder / "sessions").rename(folder / "elsewhere")
    (folder / "sessions").write_bytes(b"in the way")
    tap(page, "Save")
    shown(page, "could not be read or saved")
    shown(page, "How was it")
    yield "log-fault", page


def every_state(page: Page, folder: Path) -> Iterator[State]:
    yield from before_the_session(page)
    yield from looking_back(page, folder)
    yield from plans_and_pages(page)
    yield from links(page)
    yield from in_the_session(page, folder)


def test_every_state_is_accessible_and_stays_within_its_edges(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    lengthy_folder(tmp_path)
    page = opened(context, start_app(tmp_path))
    assert amiss(every_state(page, tmp_path)) == {}


def test_the_advice_of_a_day_without_a_session_is_accessible_and_stays_within_its_edges(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    lengthy_folder(tmp_path)
    assert amiss(too_sore_for_a_session(opened(context, start_app(tmp_path)))) == {}


def amiss(states: Iterator[State]) -> dict[str, list[str]]:
    """What is amiss in each state, where something is."""
    faults: dict[str, list[str]] = {}
    for name, on in states:
        faults[name] = [*violations(on), *on.evaluate(OUT_OF_REACH)]
        if folder := os.environ.get("PICTURES"):
            screenshot(on, Path(folder) / f"{name}.png")
    return {name: found for name, found in faults.items() if found}
