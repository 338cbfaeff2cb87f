"""The offline build in Chromium: how much is transferred, and how long starting and fitting take.

    python3 build/dev.py bench phone [REPEATS]

Each repeat uses two fresh profiles: one that keeps Python's memory after the first visit, and one whose
device is too small for that, so that Python starts from nothing each time. A start ends when the words of its
screen can be found: the cautions at the first visit, the fitted session at each later one. The host on this
machine sends compressed files where the browser takes them, and counts the bytes until everything is kept.
Later visits have no network; the first of them follows at once.
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

from chromium import CHROMIUM_ARGUMENTS, chromium_path
from flutter_page import PHONE
from phone_server import OutsideRequests, Sent, build_phone, refuse_outside, serve_folder
from phone_visits import await_kept, await_memory, reloaded, visited
from places import SUPPORT
from playwright.sync_api import Browser, Page, sync_playwright
from walk import shown, tap

WORKER = SUPPORT / "phone" / "storage_worker.mjs"
FIT_TIMES = SUPPORT / "phone" / "fit_times.py"
ASK = """([pyodide, run]) => new Promise((resolve, reject) => {
  const worker = new Worker("/storage_worker.mjs", { type: "module" });
  worker.onmessage = ({ data }) => {
    if (data.fault) reject(data.fault);
    else if (data.value === "ready") worker.postMessage({ run });
    else resolve(data.value);
  };
  worker.postMessage({ pyodide, archives: ["/app/app.tar"] });
})"""


VISITS = 4
SMALL_DEVICE = "Object.defineProperty(Navigator.prototype, 'deviceMemory', { get: () => 1 })"


class Profile(NamedTuple):
    """The visits of a fresh profile, in s, and what was sent, in MB."""

    visits_s: list[float]
    sent_mb: float


def visits(browser: Browser, url: str, sent: Sent, outside: OutsideRequests, *, small: bool) -> Profile:
    with refuse_outside(outside) as proxy:
        context = browser.new_context(viewport=PHONE, proxy={"server": proxy, "bypass": "127.0.0.1"})
        if small:
            context.add_init_script(SMALL_DEVICE)
        sent.body_bytes = 0
        started_s = perf_counter()
        page = visited(context, url)
        shown(page, "I have read this")
        taken_s = [perf_counter() - started_s]
        await_kept(page)
        sent_mb = sent.body_bytes / 1e6
        tap(page, "I have read this")
        shown(page, "Start")
        if not small:
            await_memory(page)
        context.set_offline(True)
        while len(taken_s) < VISITS:
            taken_s.append(again_s(page, "anew" if small else "from memory"))
        context.close()
    return Profile(taken_s, sent_mb)


def again_s(page: Page, how: str) -> float:
    """The time of a later visit, in s. Raises RuntimeError unless Python started the way ``how`` says."""
    started_s = perf_counter()
    reloaded(page)
    shown(page, "Start")
    took_s = perf_counter() - started_s
    found = page.evaluate("document.documentElement.dataset.python")
    if found != how:
        raise RuntimeError(f"Python started {found}, not {how}")
    return took_s


def later_s(profiles: Sequence[Profile]) -> list[float]:
    return [taken_s for one in profiles for taken_s in one.visits_s[1:]]


def fits_ms(page: Page, origin: str) -> tuple[float, float]:
    """The median and the longest of fits in the browser's Python, in ms."""
    page.goto(f"{origin}/app/icon.svg")
    python = FIT_TIMES.read_text(encoding="utf-8") + "\nfit_times()"
    middle, longest = json.loads(page.evaluate(ASK, ["/app/pyodide/pyodide.mjs", python]))
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
            url = f"{origin}/app/"
            from_memory = [visits(browser, url, sent, outside, small=False) for _ in range(repeats)]
            anew = [visits(browser, url, sent, outside, small=True) for _ in range(repeats)]
            fit_ms, longest_fit_ms = fits_ms(browser.new_context().new_page(), origin)
        browser.close()
    for name, profiles in (("from memory", from_memory), ("anew", anew)):
        for number, taken_s in enumerate(zip(*(one.visits_s for one in profiles), strict=True), 1):
            print(f"visit {number}, {name:<12}" + " ".join(f"{taken:6.2f}" for taken in taken_s))
    print(f"fit ms {fit_ms:.1f}, the longest {longest_fit_ms:.1f}")
    figures = {
        "transfer_mb": round(median(one.sent_mb for one in from_memory), 2),
        "cold_s": round(median(one.visits_s[0] for one in anew + from_memory), 2),
        "warm_offline_s": round(median(later_s(anew)), 2),
        "warm_snapshot_s": round(median(later_s(from_memory)), 2),
        "outside_requests": len(outside.seen),
        "fit_ms_browser": round(fit_ms, 1),
    }
    print(json.dumps(figures))
    return 0
