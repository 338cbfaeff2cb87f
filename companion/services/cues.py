"""Cues: telling the trainee something now, by touch, tone and voice.

The coming cues are handed over ahead of time with the session time of now, so that no cue waits for Python,
the network or the disk; the page fires them on its own timers. A failing cue never stops a session: what
cannot be delivered is dropped, and everything that still matters is handed over again when the page comes
back.
"""

from __future__ import annotations

import asyncio
from bisect import bisect_right
from collections.abc import Callable, Sequence
from typing import Protocol

from companion.services.clock import Clock
from companion.services.page_channel import PageChannel
from companion.services.page_messages import (
    Awake,
    Cancel,
    Capabilities,
    CapabilitiesChanged,
    Greet,
    Hello,
    Link,
    LinkTaken,
    Mix,
    PageMessage,
    Ping,
    Play,
    Pong,
    Report,
    Schedule,
    Visibility,
)
from engine.live.cues import TimedCue

# A cue later than this says something that is no longer true, and after a stall a burst of them would come at
# once.
TOO_LATE_MS = 300
# A cue handed over again is the same one when it is due this close to where it was (cues.js has the same
# figure).
SAME_CUE_MS = 60
# A repaint beside a cue makes it late: measured in the page, p99 27.8 ms with, 5.6 ms without one in this
# window.
QUIET_BEFORE_MS = 120
QUIET_AFTER_MS = 40

Watcher = Callable[[PageMessage], None]


class CuePlayer(Protocol):
    @property
    def capabilities(self) -> Capabilities | None:
        """What can be felt and heard here; None while no page has said so."""
        ...

    async def schedule(self, cues: Sequence[TimedCue], *, session_ms: int) -> None:
        """Replaces everything pending by `cues`, in order of time; `session_ms` is the session time now.

        The whole list may be passed each time: cues of the past are left out, one just fired is not fired
        again.
        """
        ...

    async def cancel(self) -> None:
        """Drops everything pending and silences what sounds or shakes: at a pause or a stop."""
        ...

    async def play(self, cue: TimedCue) -> None:
        """Fires a cue at once, for trying out."""
        ...

    async def awake(self, on: bool) -> None:
        """Keeps the screen on, or lets it go. The browser may refuse; the watcher is told."""
        ...

    async def set_mix(self, *, haptic: bool, tone: bool, voice: bool, volume: float) -> None:
        """Which channels cues use from now on; `volume` (0 to 1) is for tones and voice."""
        ...


def in_quiet_window(cue_times_ms: Sequence[int], session_ms: int) -> bool:
    """True from 120 ms before to 40 ms after a cue: nothing repaints then. Times in ascending order."""
    following = bisect_right(cue_times_ms, session_ms - QUIET_AFTER_MS)
    return following < len(cue_times_ms) and cue_times_ms[following] - session_ms <= QUIET_BEFORE_MS


def _not_before(cues: Sequence[TimedCue], earliest_ms: int) -> tuple[TimedCue, ...]:
    return tuple(cue for cue in cues if cue.at_ms >= earliest_ms)


class PageCuePlayer:
    """Cues by the script of one page, in server mode and in the offline build alike."""

    def __init__(self, channel: PageChannel, clock: Clock) -> None:
        self.page: Hello | None = None
        self._link = ""
        self._channel = channel
        self._clock = clock
        self._mix = Mix()
        self._awake = Awake()
        self._report = Report()
        self._schedule: Schedule | None = None
        self._watchers: list[Watcher] = []
        self._greeted = asyncio.Event()
        channel.listen(self._on_message)

    @property
    def superseded(self) -> bool:
        """True once another session has taken over the page; this one no longer reaches anybody."""
        return self._channel.superseded

    @property
    def capabilities(self) -> Capabilities | None:
        return self.page.capabilities if self.page else None

    async def start(self, *, within_s: float = 3.0) -> Hello | None:
        """Greets the page and waits for its answer (time zone, what it can do); None if none came in time."""
        await self._channel.send(Greet())
        try:
            async with asyncio.timeout(within_s):
                await self._greeted.wait()
        except TimeoutError:
            return None
        return self.page

    def take_link(self) -> str:
        """The fragment of the link that the page was opened with, once; empty where there is none."""
        link, self._link = self._link, ""
        return link

    def watch(self, watcher: Watcher) -> Callable[[], None]:
        """Calls `watcher` with each message of the page but pings; returns the function that ends it."""
        self._watchers.append(watcher)
        return lambda: self._watchers.remove(watcher) if watcher in self._watchers else None

    async def schedule(self, cues: Sequence[TimedCue], *, session_ms: int) -> None:
        zero_ms = self._clock.monotonic_ms() - session_ms
        self._schedule = Schedule(
            zero_ms=zero_ms, cues=_not_before(cues, session_ms - self._still_wanted_ms(zero_ms))
        )
        await self._channel.send(self._schedule)

    def _still_wanted_ms(self, zero_ms: int) -> int:
        """How far back cues are handed over again.

        While the session runs on, a cue due just now may not have fired yet, and the page knows which have.
        After a pause session time stands elsewhere on the clock, the page cannot tell, and a cue must not
        come twice.
        """
        runs_on = self._schedule is not None and abs(self._schedule.zero_ms - zero_ms) <= SAME_CUE_MS
        return TOO_LATE_MS if runs_on else 0

    async def cancel(self) -> None:
        self._schedule = None
        await self._channel.send(Cancel())

    async def play(self, cue: TimedCue) -> None:
        await self._channel.send(Play(cue=cue))

    async def awake(self, on: bool) -> None:
        self._awake = Awake(on=on)
        await self._channel.send(self._awake)

    async def set_mix(self, *, haptic: bool, tone: bool, voice: bool, volume: float) -> None:
        self._mix = Mix(haptic=haptic, tone=tone, voice=voice, volume=volume)
        await self._channel.send(self._mix)

    async def report(self, on: bool) -> None:
        """Whether the page tells of each cue it fired and how late: for measuring, off by default."""
        self._report = Report(on=on)
        await self._channel.send(self._report)

    async def _on_message(self, message: PageMessage) -> None:
        if isinstance(message, Ping):
            await self._channel.send(Pong(page_ms=message.page_ms, clock_ms=self._clock.monotonic_ms()))
            return
        if isinstance(message, Hello):
            await self._hand_over(message)
        elif isinstance(message, Link):
            self._link = message.text
            await self._channel.send(LinkTaken())
        elif self.page is not None and isinstance(message, Visibility):
            self.page = self.page.model_copy(update={"visible": message.visible})
        elif self.page is not None and isinstance(message, CapabilitiesChanged):
            self.page = self.page.model_copy(update={"capabilities": message.capabilities})
        for watcher in tuple(self._watchers):
            watcher(message)

    async def _hand_over(self, hello: Hello) -> None:
        """A page that says hello may be a fresh one: it gets everything that still matters."""
        self.page = hello
        self._greeted.set()
        for state in (self._mix, self._awake, self._report, self._still_to_come() or Cancel()):
            await self._channel.send(state)

    def _still_to_come(self) -> Schedule | None:
        if self._schedule is None:
            return None
        session_ms = self._clock.monotonic_ms() - self._schedule.zero_ms
        return Schedule(
            zero_ms=self._schedule.zero_ms, cues=_not_before(self._schedule.cues, session_ms - TOO_LATE_MS)
        )
