"""Cues played by the script of a page.

The page gets the coming cues ahead of time, together with the present session time, and fires them on its own
timers: no cue waits for Python, the network or the disk. A page that comes back gets everything again that
still matters.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence

from companion.services.clock import Clock
from companion.services.cue_player import TOO_LATE_MS
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
    SpokenCue,
    Visibility,
)

SAME_CUE_MS = 60
"""Two cues of a kind that are due this close to each other are the same one. cues.js has the same figure."""

Watcher = Callable[[PageMessage], None]


class PageCuePlayer:
    """Plays cues by the script of one page, of the local server or of the offline build."""

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
        """True once another session has taken the page over. Nobody gets the cues of this one any more."""
        return self._channel.superseded

    @property
    def capabilities(self) -> Capabilities | None:
        return self.page.capabilities if self.page else None

    async def start(self, *, within_s: float = 3.0) -> Hello | None:
        """Greets the page and waits for its time zone and capabilities; None where no answer came in time."""
        await self._channel.send(Greet())
        try:
            async with asyncio.timeout(within_s):
                await self._greeted.wait()
        except TimeoutError:
            return None
        return self.page

    def take_link(self) -> str:
        """The fragment of the link that opened the page; empty without one, and after the first call."""
        link, self._link = self._link, ""
        return link

    def watch(self, watcher: Watcher) -> Callable[[], None]:
        """Calls ``watcher`` with each message of the page except pings. Returns the function that ends it."""
        self._watchers.append(watcher)
        return lambda: self._watchers.remove(watcher) if watcher in self._watchers else None

    async def schedule(self, cues: Sequence[SpokenCue], *, session_ms: int) -> None:
        zero_ms = self._clock.monotonic_ms() - session_ms
        self._schedule = Schedule(
            zero_ms=zero_ms, cues=_not_before(cues, session_ms - self._still_wanted_ms(zero_ms))
        )
        await self._channel.send(self._schedule)

    def _still_wanted_ms(self, zero_ms: int) -> int:
        """How far back cues are handed over again.

        While the session runs on, a cue that is just due may not have fired yet, and the page knows which
        have. After a pause the page cannot tell, because session time has moved against the clock, and no cue
        may come twice.
        """
        runs_on = self._schedule is not None and abs(self._schedule.zero_ms - zero_ms) <= SAME_CUE_MS
        return TOO_LATE_MS if runs_on else 0

    async def cancel(self) -> None:
        self._schedule = None
        await self._channel.send(Cancel())

    async def play(self, cue: SpokenCue) -> None:
        await self._channel.send(Play(cue=cue))

    async def awake(self, on: bool) -> None:
        self._awake = Awake(on=on)
        await self._channel.send(self._awake)

    async def set_mix(
        self, *, haptic: bool, tone: bool, voice: bool, volume: float, language: str = "en"
    ) -> None:
        self._mix = Mix(haptic=haptic, tone=tone, voice=voice, volume=volume, language=language)
        await self._channel.send(self._mix)

    async def report(self, on: bool) -> None:
        """Makes the page report each cue that it fired and how late, for measuring. Off by default."""
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
        """Hands a page everything that still matters: one that says hello may be new."""
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


def _not_before(cues: Sequence[SpokenCue], earliest_ms: int) -> tuple[SpokenCue, ...]:
    return tuple(cue for cue in cues if cue.at_ms >= earliest_ms)
