"""The session in progress: each event takes effect at once, and is then written down."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from companion.actions.context import Context
from companion.actions.session.writing import Writing
from companion.services.clock import diverged_ms, read, slept_ms
from companion.services.cue_player import in_quiet_window, spoken
from companion.services.page_messages import SpokenCue
from companion.state.live import Live
from companion.state.screen import Screen
from engine.live.cues import LOOK_AHEAD_MS, coming_cues
from engine.live.events import Ended, Ending, Event, Mark, Paused
from engine.live.run import advance, at
from engine.live.state import Status


class Run:
    """Takes in the events of the session in progress, hands its cues over, and watches its clock."""

    def __init__(self, context: Context) -> None:
        self._context = context
        writing = Writing(context)
        self.save, self._save_again = writing.save, writing.save_again

    @property
    def live(self) -> Live:
        """The session in progress. Raises LookupError where there is none."""
        return self._context.state.run.in_progress

    def session_ms(self) -> int:
        """The session time now; 0 if no session is in progress."""
        live = self._context.state.run.live
        return 0 if live is None else max(live.state.at_ms, self._context.clock.monotonic_ms() - live.zero_ms)

    def cue_is_near(self) -> bool:
        """Whether a cue is so near that nothing may be drawn now."""
        live = self._context.state.run.live
        return live is not None and in_quiet_window(live.cue_times_ms, self.session_ms())

    async def watch(self) -> None:
        """Is called often: writes what waits, notices a sleep, and enters the segments that the clock begins.

        The session may go to another window at each step.
        """
        live = self._context.state.run.live
        for step in (self._save_in_quiet, self._notice_sleep, self._cue_ahead, self._follow_clock):
            if live is not None and self._context.state.run.live is live:
                await step(live)

    async def _save_in_quiet(self, _: Live) -> None:
        if not self.cue_is_near():
            await self._save_again()

    async def _notice_sleep(self, _: Live) -> None:
        if self._paused_after_sleep():
            await self.hand_over_cues()
            self._context.state.on_change()
            await self.save()

    async def _cue_ahead(self, live: Live) -> None:
        is_late = self.session_ms() >= live.cues_until_ms - LOOK_AHEAD_MS // 2
        if live.state.status is Status.running and is_late and not self.cue_is_near():
            await self._schedule_cues()

    async def _follow_clock(self, live: Live) -> None:
        if live.state.status is not Status.running or self.cue_is_near():
            return
        moved = at(live.state, self.session_ms())
        if moved.index == live.state.index:
            return
        live.state = moved
        if moved.current is not None:
            self.note(Mark, segment_id=moved.current.id)
        else:
            self.note(Ended, ending=Ending.finished)
        await self.show_effect()
        await self.save()

    def _paused_after_sleep(self) -> bool:
        """Pauses a session that runs if the computer slept or a clock was set; returns whether it did.

        Whatever the clocks did in a pause needs no question.
        """
        live = self.live
        before, live.clocks = live.clocks, read(self._context.clock)
        slept = slept_ms(before, live.clocks)
        gap_ms = diverged_ms(before, live.clocks) + slept
        if not gap_ms or live.state.status is not Status.running:
            return False
        live.gap_ms = gap_ms
        live.zero_ms += slept
        self._take_in(Paused)
        return True

    def note(self, kind: type[Event], **fields: Any) -> None:
        """Lets an event take effect, after a sleep that nobody has noticed yet. It waits in memory until
        ``save`` has written it."""
        self._paused_after_sleep()
        self._take_in(kind, **fields)

    def _take_in(self, kind: type[Event], **fields: Any) -> None:
        live = self.live
        seq, now_ms = live.state.seq + 1, self.session_ms()
        event = kind(seq=seq, id=str(uuid4()), session_ms=now_ms, wall=self._context.now(), **fields)
        live.state = advance(live.state, event)
        live.unsaved = (*live.unsaved, event)

    async def event(self, kind: type[Event], **fields: Any) -> None:
        """Takes in an event of the person, after which other cues are to come."""
        self.note(kind, **fields)
        await self.hand_over_cues()
        await self.save()

    async def do(self, kind: type[Event], **fields: Any) -> None:
        """Takes in an event of the person and shows what it led to."""
        self.note(kind, **fields)
        await self.hand_over_cues()
        await self.show_effect()
        await self.save()

    async def hand_over_cues(self) -> None:
        """Plays the cues that fell due since the last event, and schedules those to come."""
        for due in self._cues(until_ms=self.session_ms()):
            await self._context.cues.play(due)
        if self._context.state.run.live is not None:
            await self._schedule_cues()

    def _cues(self, *, until_ms: int) -> tuple[SpokenCue, ...]:
        words = self._context.state.words
        return tuple(spoken(one, words) for one in coming_cues(self.live.state, until_ms=until_ms))

    async def _schedule_cues(self) -> None:
        live, now_ms = self.live, self.session_ms()
        live.cues_until_ms = now_ms + LOOK_AHEAD_MS
        cues = tuple(c for c in self._cues(until_ms=live.cues_until_ms) if c.at_ms >= now_ms)
        live.cue_times_ms = tuple(c.at_ms for c in cues)
        if cues:
            await self._context.cues.schedule(cues, session_ms=self.session_ms())
        else:
            await self._context.cues.cancel()

    async def show_effect(self) -> None:
        """Shows what an event led to; the end of the session leads to its log."""
        if self.live.state.status is Status.ended:
            await self._context.cues.awake(False)
            self._context.state.screen = Screen.log
        self._context.state.on_change()
