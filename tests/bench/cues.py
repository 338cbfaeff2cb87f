"""How late the page vibrates while the real running screen is shown, in server mode and in the offline build.

    python3 build/dev.py bench cues [--cues N] [--every MS]

A session with a switch every MS (300) is stored as interrupted, and continued: screen, clock and cues are
those of any session, except that the whole screen is redrawn three times a second. Sessions of about a
hundred cues follow each other until there are N (1000), first in server mode, then offline: a quarter of an
hour in all. Lateness is the time from the moment a cue was due on Python's own clock to the call of
navigator.vibrate. The offset between that clock and the page's is read from the browser, not from what the
page believes. A cue that never came counts as late as the page allows. The time of a tone is the audio
clock's own timestamp. The table ends with the cues that were late most often: the page draws the work for the
first time after the second cue, which takes it longer than this bench, unlike any session, leaves until the
third.

Python's share of a core is measured over a minute of ordinary work and rest in server mode. The drift is that
of an hour in virtual time (cue_drift.py): the largest distance between a cue and its place while the page did
not stall.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import timedelta
from math import ceil
from pathlib import Path
from statistics import median, pstdev
from time import monotonic_ns

from app_process import App, enter
from builders import BOTH, HAND, LEG, plan, profile, session, work
from chromium import CHROMIUM_ARGUMENTS, chromium_path
from cue_drift import drift
from cue_timing import RECORD_FELT, Told, dues, felt, told
from flutter_page import PHONE
from phone_server import build_phone, serve_folder
from phone_visits import await_kept, await_memory, put_kept
from playwright.sync_api import Browser, Page, sync_playwright

from companion.services.clock import SystemClock
from companion.services.cue_player import TOO_LATE_MS
from engine.live.events import EVENTS, RunningRecord, Started
from engine.live.lead_in import LEAD_IN_MS
from engine.plan.plan import RoundsRange
from storage.folder.store import FolderStore

A_SESSION = 125
READY_LIMIT_MS = 120_000  # only so that a hang ends
ANSWER_MS = 3_000
AFTER_MS = 1_500
LATE_MS = 3
MOST_PLACES = 8
ORDINARY_MS = 60_000


def running_session(cues: int, every_ms: int | None) -> RunningRecord:
    """A session that has just started, with ``cues`` switches and no hurry to finish. Without ``every_ms``
    its segments keep their lengths."""
    rounds = RoundsRange(min=20, max=20)
    made = session(plan(work(BOTH.slug, HAND.slug, LEG.slug, rounds=rounds)), minutes=180)
    ready, *rest = made.segments[:cues]
    if every_ms is not None:
        ready = ready.model_copy(update={"planned_ms": LEAD_IN_MS})
        rest = [one.model_copy(update={"planned_ms": every_ms}) for one in rest]
    now = SystemClock().now()
    begun = Started(seq=1, id="event-1", session_ms=0, wall=now)
    return RunningRecord(
        run_id=f"run-{monotonic_ns()}",
        started_at=now,
        zone="UTC",
        finish_at=now + timedelta(days=1),
        session=made.model_copy(update={"segments": (ready, *rest)}),
        events=(begun,),
    )


def go_on(page: Page) -> None:
    """Presses the key that continues until cues are handed over; the accessibility tree stays off."""
    for _ in range(READY_LIMIT_MS // ANSWER_MS):
        page.mouse.click(PHONE["width"] / 2, 20)
        page.keyboard.press("p")
        page.wait_for_timeout(ANSWER_MS)
        if dues(page):
            return
    raise TimeoutError("the session does not go on")


def cpu_s(pid: int) -> float:
    """The processor time of a process so far, in s, from Linux (proc(5), fields 14 and 15)."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


async def keep(folder: Path, record: RunningRecord) -> None:
    store = FolderStore(folder)
    await store.person.save_profile(profile(cautions_read_at=record.started_at))
    await store.run.open(record.model_copy(update={"events": ()}))
    for event in record.events:
        await store.run.append(event)


@contextmanager
def in_server_mode(browser: Browser, record: RunningRecord) -> Iterator[tuple[Page, int]]:
    """A page on which a session has just been continued, and the id of its Python process."""
    with tempfile.TemporaryDirectory() as folder:
        with ThreadPoolExecutor() as beside:  # Playwright's own loop runs in this thread
            beside.submit(asyncio.run, keep(Path(folder), record)).result()
        app = App(Path(folder))
        page = recording(browser)
        try:
            enter(page, app.url)
            go_on(page)
            yield page, app.process.pid
        finally:
            page.context.close()
            app.stop()


def on_the_server(browser: Browser, cues: int, every_ms: int) -> list[Told]:
    """The cues of one session in server mode."""
    with in_server_mode(browser, running_session(cues, every_ms)) as (page, _):
        await_end(page, cues, every_ms)
        return told(dues(page), felt(page), page_to_clock_ms=navigation_start_ms(page))


def await_end(page: Page, cues: int, every_ms: int) -> None:
    """Waits until the session is over, asking nothing of the page meanwhile."""
    page.wait_for_timeout(LEAD_IN_MS + cues * every_ms + AFTER_MS - ANSWER_MS)
    assert page.evaluate("window.__drawn") > cues, "the screen is drawn at each switch"


def python_cpu_percent(browser: Browser) -> float:
    """Python's share of a core while an ordinary session runs."""
    with in_server_mode(browser, running_session(A_SESSION, None)) as (page, pid):
        spent_s = cpu_s(pid)
        page.wait_for_timeout(ORDINARY_MS)
        return 100 * (cpu_s(pid) - spent_s) / (ORDINARY_MS / 1000)


def recording(browser: Browser) -> Page:
    context = browser.new_context(viewport=PHONE)
    context.add_init_script(RECORD_FELT)
    return context.new_page()


def navigation_start_ms(page: Page) -> float:
    """Where the page's clock starts on this computer's monotonic clock, which Python reads too, in ms."""
    browser = page.context.new_cdp_session(page)
    browser.send("Performance.enable")
    metrics = {one["name"]: one["value"] for one in browser.send("Performance.getMetrics")["metrics"]}
    return metrics["NavigationStart"] * 1000


PUT_RUN = """documents => new Promise((resolve) => {
  const opening = indexedDB.open(`session-companion ${new URL(".", location.href).pathname}`);
  opening.onsuccess = () => {
    const step = opening.result.transaction("run", "readwrite");
    step.objectStore("run").clear();
    for (const [key, text] of documents) step.objectStore("run").put({ key, text, at: "" });
    step.oncomplete = () => { opening.result.close(); resolve(); };
  };
})"""


def offline_page(browser: Browser, url: str) -> Page:
    """A page that keeps everything, Python's memory too, for a person who has read the cautions."""
    page = recording(browser)
    page.goto(url)
    page.context.set_default_timeout(READY_LIMIT_MS)
    await_kept(page)
    await_memory(page)
    page.wait_for_function("() => !document.getElementById('starting')")
    who = profile(cautions_read_at=SystemClock().now())
    put_kept(page, "profile", "only", who.model_dump_json())
    page.context.set_offline(True)
    return page


def offline(page: Page, cues: int, every_ms: int) -> list[Told]:
    """The cues of one session on a visited page."""
    record = running_session(cues, every_ms)
    events = ((f"{event.seq:08}", EVENTS.dump_json(event).decode()) for event in record.events)
    opening = ("00000000", record.model_dump_json(exclude={"events"}))
    page.evaluate(PUT_RUN, [opening, *events])
    page.reload()
    page.wait_for_function("() => !document.getElementById('starting')")
    go_on(page)
    await_end(page, cues, every_ms)
    return told(dues(page), felt(page), page_to_clock_ms=worker_clock_ms(page))


def worker_clock_ms(page: Page) -> float:
    """The clock of the worker's Python less the page's, in ms: both say when they started."""
    (worker,) = page.workers
    return page.evaluate("performance.timeOrigin") - worker.evaluate("performance.timeOrigin")


def p99(values: Sequence[float]) -> float:
    """The 99th percentile of the distances from 0."""
    return sorted(map(abs, values))[int(0.99 * len(values))]


def late_ms(cues: Sequence[Told]) -> list[float]:
    return [TOO_LATE_MS if one.late_ms is None else one.late_ms for one in cues]


def skew_ms(cues: Sequence[Told]) -> list[float]:
    """The time from each vibration to its tone."""
    return [TOO_LATE_MS if one.tone_ms is None else one.tone_ms for one in cues if one.late_ms is not None]


def row(name: str, values: Sequence[float], missed: int) -> str:
    kept = sorted(values)
    figures = f"{median(kept):8.2f}{p99(kept):8.2f}{pstdev(kept):8.2f}{kept[0]:9.2f}{kept[-1]:9.2f}"
    return f"{name:<22}{len(kept):6}{missed:8}{figures}"


def print_table(modes: Mapping[str, Sequence[Told]], length: int) -> None:
    """Prints the figures of each mode, and which cues of its sessions of ``length`` cues were late."""
    print(f"{'':<22}{'cues':>6}{'missed':>8}{'p50':>8}{'p99':>8}{'SD':>8}{'min':>9}{'max':>9}   ms")
    for name, cues in modes.items():
        missed = sum(one.late_ms is None for one in cues)
        print(row(f"{name}, late", late_ms(cues), missed))
        print(row(f"{name}, tone after", skew_ms(cues), missed))
    for name, cues in modes.items():
        places = Counter(at % length + 1 for at, one in enumerate(late_ms(cues)) if abs(one) > LATE_MS)
        often = ", ".join(f"cue {place} {times} times" for place, times in places.most_common(MOST_PLACES))
        print(f"{name}, by more than {LATE_MS} ms: {sum(places.values())} of {len(cues)}: {often}")


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="bench cues")
    parser.add_argument("--cues", type=int, default=1_000, help="in each mode (1000)")
    parser.add_argument("--every", type=int, default=300, metavar="MS", help="between two switches (300)")
    options = parser.parse_args(arguments)
    sessions = ceil(options.cues / A_SESSION)
    length = ceil(options.cues / sessions)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        build_phone(Path(folder) / "app", "--unpacked")
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_ARGUMENTS)
        served = [one for _ in range(sessions) for one in on_the_server(browser, length, options.every)]
        share = python_cpu_percent(browser)
        with serve_folder(Path(folder)) as origin:
            page = offline_page(browser, f"{origin}/app/")
            kept = [one for _ in range(sessions) for one in offline(page, length, options.every)]
        off_ms = max(map(abs, drift(browser.new_page(), seed=1).off_ms))
        browser.close()
    print_table({"server": served, "offline": kept}, length)
    figures = {
        "cues": min(len(served), len(kept)),
        "server_vibrate_p99_ms": round(p99(late_ms(served)), 2),
        "server_vibrate_sd_ms": round(pstdev(late_ms(served)), 2),
        "offline_vibrate_p99_ms": round(p99(late_ms(kept)), 2),
        "offline_vibrate_sd_ms": round(pstdev(late_ms(kept)), 2),
        "haptic_tone_skew_p99_ms": round(p99(skew_ms([*served, *kept])), 2),
        "drift_60min_ms": round(off_ms, 2),
        "python_cpu_percent": round(share, 2),
    }
    print(json.dumps(figures))
    return 0
