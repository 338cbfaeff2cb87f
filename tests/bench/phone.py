"""The offline build in Chromium: what comes over the line, how long it takes to start and to fit.

    python3 build/dev.py bench phone [REPEATS]

Each repeat is a fresh profile. A start ends when the first screen's words can be found. The host on this
machine sends packed files where the browser takes them; what is sent until everything is kept is counted.
Later starts have no network: one before Python's memory is kept, one from that memory.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import NamedTuple

from playwright.sync_api import Browser, Page, sync_playwright

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / "browser"), str(TESTS.parent / "build")]

from conftest import CHROMIUM_ARGUMENTS, PHONE, chromium_path  # noqa: E402
from phone_page import await_kept, await_memory, reloaded, visited  # noqa: E402
from phone_server import OutsideRequests, Sent, build_phone, refuse_outside, serve_folder  # noqa: E402
from walk import shown  # noqa: E402

WORKER = TESTS / "browser" / "storage_worker.mjs"
FIT = """
import json
from statistics import median
from time import perf_counter
from companion.samples import sample_plans
from engine.choose import Room
from engine.fit import Asked
from engine.movement import Kit
from engine.offer import offer
def once(plan, minutes):
    started = perf_counter()
    offer(plan, Asked(minutes=minutes, room=Room(kit=Kit.single)))
    return (perf_counter() - started) * 1000
plans = sample_plans()
[once(plan, 25) for plan in plans]
taken = sorted(once(plan, minutes) for plan in plans for minutes in range(15, 46, 5))
json.dumps([median(taken), taken[-1]])
"""
ASK = """([pyodide, run]) => new Promise((resolve, reject) => {
  const worker = new Worker("/storage_worker.mjs", { type: "module" });
  worker.onmessage = ({ data }) => {
    if (data.fault) reject(data.fault);
    else if (data.value === "ready") worker.postMessage({ run });
    else resolve(data.value);
  };
  worker.postMessage({ pyodide, archives: ["/app/app.tar"] });
})"""


class Starts(NamedTuple):
    """Of a fresh profile: its starts, in s, and what was sent, in MB."""

    cold_s: float
    warm_s: float
    from_memory_s: float
    sent_mb: float


def starts(browser: Browser, url: str, sent: Sent, outside: OutsideRequests) -> Starts:
    with refuse_outside(outside) as proxy:
        way_out = {"server": proxy, "bypass": "127.0.0.1"}
        context = browser.new_context(viewport=PHONE, proxy=way_out)
        sent.body_bytes = 0
        started_s = perf_counter()
        page = visited(context, url)
        shown(page, "I have read this")
        cold_s = perf_counter() - started_s
        await_kept(page)
        sent_mb = sent.body_bytes / 1e6
        context.set_offline(True)
        warm_s = again_s(page, "anew")
        await_memory(page)
        from_memory_s = again_s(page, "from memory")
        context.close()
    return Starts(cold_s, warm_s, from_memory_s, sent_mb)


def again_s(page: Page, how: str) -> float:
    """A later start, in s, of which it is known how Python started."""
    started_s = perf_counter()
    reloaded(page)
    shown(page, "I have read this")
    took_s = perf_counter() - started_s
    found = page.evaluate("document.documentElement.dataset.python")
    if found != how:
        raise RuntimeError(f"Python started {found}, not {how}")
    return took_s


def fits_ms(page: Page, origin: str) -> tuple[float, float]:
    """The middle and the longest of fits in the browser's Python, in ms."""
    page.goto(f"{origin}/app/icon.svg")
    middle, longest = json.loads(page.evaluate(ASK, ["/app/pyodide/pyodide.mjs", FIT]))
    return middle, longest


def main(arguments: Sequence[str] | None = None) -> int:
    repeats = int((arguments or sys.argv[1:] or ["3"])[0])
    outside, sent = OutsideRequests(), Sent()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        root = Path(folder)
        build_phone(root / "app")
        (root / WORKER.name).write_bytes(WORKER.read_bytes())
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_ARGUMENTS)
        with serve_folder(root, sent) as origin:
            rows = [starts(browser, f"{origin}/app/", sent, outside) for _ in range(repeats)]
            fit_ms, longest_fit_ms = fits_ms(browser.new_context().new_page(), origin)
        browser.close()
    middle = Starts(*map(median, zip(*rows, strict=True)))
    for name, values in zip(Starts._fields, zip(*rows, strict=True), strict=True):
        print(f"{name:<16}" + " ".join(f"{value:7.2f}" for value in values))
    print(f"{'fit ms':<16}{fit_ms:7.1f}, the longest {longest_fit_ms:.1f}")
    figures = {
        "transfer_mb": round(middle.sent_mb, 2),
        "cold_s": round(middle.cold_s, 2),
        "warm_offline_s": round(middle.warm_s, 2),
        "warm_snapshot_s": round(middle.from_memory_s, 2),
        "outside_requests": len(outside.seen),
        "fit_ms_browser": round(fit_ms, 1),
    }
    print(json.dumps(figures))
    return 0
