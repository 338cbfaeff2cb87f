"""Firefox and WebKit: the screens they draw, an offline start from memory, and how late the cues' script is.

    python3 build/dev.py bench engines [CUES]

The cues are those of a session that runs on the real screen, with a switch every 300 ms, CUES (250) in each
engine. Neither has a motor on a desk: lateness is the time from the moment a cue was due, as the page knows
Python's clock, to the call of the script that would vibrate, as the script itself reports it. Nothing goes
beyond this machine; an address that a page asked for and that is not its own counts as foreign.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Sequence
from math import ceil
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

from app_process import App, enter
from bench.cues import A_SESSION, AFTER_MS, ANSWER_MS, READY_LIMIT_MS, keep, p99, running_session
from beside import done
from engines import ASKED, ENGINES, page_in
from flutter_page import PHONE, enable_semantics, foreign
from phone_server import build_phone, serve_folder
from phone_visits import await_kept, await_memory
from playwright.sync_api import Page
from walk import every_screen, shown

from companion.services.cue_player import TOO_LATE_MS
from engine.live.lead_in import LEAD_IN_MS

EVERY_MS = 300
LISTEN = """() => {
  window.__late = [];
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (text) {
    if (/cues/.test(this.url)) this.onmessage({ data: '{"kind": "report", "on": true}' });
    const told = typeof text === "string" && text.includes('"fired"') ? JSON.parse(text) : null;
    if (told) window.__late.push(told.dropped ? null : told.late_ms);
    return send.call(this, text);
  };
}"""
"""Has the script of the cues report what it does, from the next message on that it sends; a Python that it
greets says otherwise, and so each message has it report again."""


class Measured(NamedTuple):
    screens: int
    offline_s: float
    cues_p99_ms: float
    foreign: int


def screens(engine: str) -> tuple[int, list[str]]:
    """How many screens an engine draws on the way through the application, and what it asked of others."""
    with tempfile.TemporaryDirectory() as folder, page_in(engine) as page:
        app = App(Path(folder))
        try:
            drawn = sum(1 for _ in every_screen(page, app.url))
            return drawn, foreign(page.evaluate(ASKED), app.url)
        finally:
            app.stop()


def offline_s(engine: str, host: Path) -> tuple[float, list[str]]:
    """The time of a start from memory without a host, until its words can be found."""
    with page_in(engine) as page:
        with serve_folder(host) as origin:
            page.goto(f"{origin}/app/")
            enable_semantics(page)
            await_kept(page)
            await_memory(page)
        began = perf_counter()
        page.reload()
        enable_semantics(page)
        shown(page, "I have read this")
        return perf_counter() - began, foreign(page.evaluate(ASKED), origin)


def lateness_ms(engine: str, cues: int) -> list[float]:
    """How late each cue of one session was; a cue that was dropped or never came is as late as can be."""
    record = running_session(cues, EVERY_MS)
    with tempfile.TemporaryDirectory() as folder, page_in(engine) as page:
        done(keep(Path(folder), record))
        app = App(Path(folder))
        try:
            enter(page, app.url)
            page.wait_for_timeout(ANSWER_MS)
            page.evaluate(LISTEN)
            go_on(page)
            page.wait_for_timeout(LEAD_IN_MS + cues * EVERY_MS + AFTER_MS)
            late = page.evaluate("window.__late")
        finally:
            app.stop()
    told = [TOO_LATE_MS if one is None else one for one in late]
    return told + [TOO_LATE_MS] * (cues - len(told))


def go_on(page: Page) -> None:
    """Presses the key that continues until a cue was told; the accessibility tree stays off."""
    for _ in range(READY_LIMIT_MS // ANSWER_MS):
        page.mouse.click(PHONE["width"] / 2, 20)
        page.keyboard.press("p")
        page.wait_for_timeout(LEAD_IN_MS + ANSWER_MS)
        if page.evaluate("window.__late.length"):
            return
    raise TimeoutError("the session does not go on")


def measure(engine: str, host: Path, cues: int) -> Measured:
    drawn, strangers = screens(engine)
    start_s, more = offline_s(engine, host)
    sessions = ceil(cues / A_SESSION)
    late = [one for _ in range(sessions) for one in lateness_ms(engine, ceil(cues / sessions))]
    print(f"{engine}: {len(late)} cues, {sum(one >= TOO_LATE_MS for one in late)} missed")
    return Measured(drawn, round(start_s, 2), round(p99(late), 2), len(strangers) + len(more))


def main(arguments: Sequence[str] | None = None) -> int:
    asked = sys.argv[1:] if arguments is None else arguments
    cues = int(asked[0]) if asked else 250
    with tempfile.TemporaryDirectory() as host:
        build_phone(Path(host) / "app", "--unpacked")
        firefox, webkit = (measure(engine, Path(host), cues) for engine in ENGINES)
    figures = {
        "firefox_screens": firefox.screens,
        "webkit_screens": webkit.screens,
        "firefox_offline_s": firefox.offline_s,
        "webkit_offline_s": webkit.offline_s,
        "cues_p99_ms_firefox": firefox.cues_p99_ms,
        "cues_p99_ms_webkit": webkit.cues_p99_ms,
        "foreign_requests": firefox.foreign + webkit.foreign,
    }
    print(json.dumps(figures))
    return 0
