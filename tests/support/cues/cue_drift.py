"""An hour of a session in virtual time: how far its cues move from their places while page and Python stall.

The session is run by the application's own code, with a clock that moves only when told to; the page is the
script of the cues with virtual time (virtual_page.js).
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from random import Random
from typing import NamedTuple

from builders import BOTH, HAND, LEG, plan, work
from places import ASSETS, SUPPORT
from playwright.sync_api import Page
from somebody import HandClock

from companion.actions.actions import Actions
from companion.actions.context import Context
from companion.services.cue_player import TOO_LATE_MS
from companion.services.files import FilesInHand
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import Message
from companion.state.app import State
from engine.movements.movement import Kit
from engine.plan.plan import RoundsRange
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore

SCRIPT = ASSETS / "cues.js"
HOUR_MS = 3_600_000
WATCH_MS = 50
CLOCK = {"zero": 5_000_000, "rate": 1.000_05}
"""Python's clock runs 50 millionths faster than the page's: more than two quartz clocks differ."""
PLAN = plan(work(BOTH.slug, HAND.slug, LEG.slug, rounds=RoundsRange(min=2, max=20)))

Stall = tuple[int, int]


class Drift(NamedTuple):
    """How far from its place each cue came, for cues due while the page ran and while it stalled."""

    off_ms: tuple[float, ...]
    stalled_ms: tuple[float, ...]


def stalls(chance: Random) -> tuple[Stall, ...]:
    """Stalls, about one a minute, from a tenth of a second to three seconds long."""
    starts = (round(chance.uniform(1_000, HOUR_MS)) for _ in range(60))
    return tuple(sorted((start, start + round(chance.uniform(100, 3_000))) for start in starts))


class Sent:
    """A channel that records what is sent and when."""

    superseded = False

    def __init__(self, clock: HandClock) -> None:
        self._clock = clock
        self.deliveries: list[tuple[float, str]] = []

    def listen(self, listener) -> None:  # type: ignore[no-untyped-def]
        """Receives nothing: the session needs nothing from the page."""

    async def send(self, message: Message) -> None:
        at_ms = (self._clock.ms - CLOCK["zero"]) / CLOCK["rate"]
        self.deliveries.append((at_ms, message.model_dump_json()))


def handed_over(python_stalls: Sequence[Stall]) -> list[tuple[float, str]]:
    """What the application hands over, and when, in an hour with two pauses and more rest."""
    with ThreadPoolExecutor() as beside:  # Playwright's own loop may run in this thread
        return beside.submit(asyncio.run, _an_hour(python_stalls)).result()


async def _an_hour(python_stalls: Sequence[Stall]) -> list[tuple[float, str]]:
    clock = HandClock()
    clock.ms = int(CLOCK["zero"])
    channel = Sent(clock)
    player = PageCuePlayer(channel, clock)
    do = Actions(
        Context(
            State(),
            store=BrowserStore(MemoryShelves()),
            clock=clock,
            cues=player,
            files=FilesInHand(),
            zone="UTC",
            samples=lambda: (PLAN,),
        )
    )
    await do.opening.open()
    await do.opening.accept_cautions(())
    await do.setup.choose_kit(Kit.single)
    do.setup.set_minutes(60)
    await player.report(True)
    await do.session.start()
    asked = {
        600_000: do.session.pause,
        645_000: do.session.resume,
        1_500_000: do.session.more_rest,
        2_400_000: do.session.pause,
        2_403_000: do.session.resume,
    }
    for at_ms in range(0, HOUR_MS, WATCH_MS):
        clock.ms = int(CLOCK["zero"] + at_ms * CLOCK["rate"])
        if at_ms in asked:
            await asked[at_ms]()
        elif not any(start <= at_ms < end for start, end in python_stalls):
            await do.session.watch()
    return channel.deliveries


def drift(page: Page, *, seed: int) -> Drift:
    """How far off an open page plays the cues of an hour; the seed decides when page and Python stall."""
    page_stalls, python_stalls = stalls(Random(seed)), stalls(Random(1_000 + seed))
    page.add_script_tag(content=(SUPPORT / "cues" / "virtual_page.js").read_text(encoding="utf-8"))
    fired = page.evaluate(
        "world => virtualPage(world)",
        {
            "source": SCRIPT.read_text(encoding="utf-8"),
            "deliveries": handed_over(python_stalls),
            "pageStalls": page_stalls,
            "pythonStalls": python_stalls,
            "clock": CLOCK,
            "until": HOUR_MS,
            "seed": 1 + seed,
        },
    )
    off_ms, late_ms = [], []
    for one in fired:
        due_ms = one["zero_ms"] + one["at_ms"]
        true_ms = (due_ms - CLOCK["zero"]) / CLOCK["rate"]
        stalled = any(start <= true_ms < end for start, end in page_stalls)
        (late_ms if stalled else off_ms).append(one["clock_ms"] - due_ms)
        assert one["dropped"] == (one["late_ms"] > TOO_LATE_MS), (
            "what is too late is dropped, and nothing else"
        )
    return Drift(tuple(off_ms), tuple(late_ms))
