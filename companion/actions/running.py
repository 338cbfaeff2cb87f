"""The session as it runs: each event is written down, and only then takes effect."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import uuid4

from companion.actions.base import Base
from companion.services.clock import diverged_ms, read, slept_ms
from companion.services.cues import in_quiet_window
from companion.state.app import Screen
from companion.state.live import Live
from engine.base.units import MS_PER_MIN
from engine.live.cues import LOOK_AHEAD_MS, coming_cues
from engine.live.events import (
    Ended,
    Ending,
    Event,
    HoldStarted,
    HoldStopped,
    LoadFound,
    Mark,
    MoreRest,
    Paused,
    PositionLost,
    Redone,
    Refitted,
    Reopened,
    Resumed,
    RunningRecord,
    Skipped,
    Started,
    Ticked,
    WentBack,
)
from engine.live.refit import end_with_both_sides, hold_finish, is_late, keep_everything
from engine.live.remainder import Refit
from engine.live.run import advance, at, begin
from engine.live.state import Status
from engine.live.swap import do_without, ease, needed
from engine.live.timing import remaining_at
from engine.load.proposal import LoadProposal
from engine.load.propose import answers_from
from engine.movements.movement import Equipment, Movement, library
from engine.session.fitted import FittedSession
from engine.session.segment import BETWEEN, total_ms

MORE_REST_MS = 15_000
CLOCK_SET = "The clock of this device was set back; the finish is said by it."
LATER = "Nothing more may be given up; the finish is later."


class Running(Base):
    async def start(self) -> None:
        """Opens the running record and starts the clock."""
        session = self.state.session
        if session is None or self.state.live is not None:
            return
        await self._set_mix()
        session = await self._with_loads(session)
        started_at = self.now()
        promised_ms = max(session.total_ms, round(session.minutes * MS_PER_MIN))
        finish_at = started_at + timedelta(milliseconds=promised_ms)
        opening = RunningRecord(
            run_id=str(uuid4()), started_at=started_at, zone=self.zone, finish_at=finish_at, session=session
        )
        await self.store.run.open(opening)
        self.state.live = Live(
            opening.run_id, begin(session), started_at, finish_at, self.clock.monotonic_ms()
        )
        self.state.nothing_felt = False
        await self._event(Started)
        await self.cues.awake(True)
        self._show(Screen.running)

    async def _with_loads(self, session: FittedSession) -> FittedSession:
        """The session with what is proposed to lift in it; the log starts from that."""
        made = self._propose(session)
        return session.with_tempos({one.key.movement: one.tempo for one in made})

    def _propose(self, session: FittedSession) -> tuple[LoadProposal, ...]:
        made = self.proposed(session)
        self.state.proposals = {one.key.movement: one for one in made}
        self.state.answers = answers_from(made, session)
        return made

    def session_ms(self) -> int:
        """Session time now."""
        live = self.state.live
        return 0 if live is None else max(live.state.at_ms, self.clock.monotonic_ms() - live.zero_ms)

    def cue_is_near(self) -> bool:
        """Whether nothing may repaint just now."""
        live = self.state.live
        return live is not None and in_quiet_window(live.cue_times_ms, self.session_ms())

    async def watch(self) -> None:
        """Called often while a session runs: enters what the clock begins, and notices a sleep."""
        live = self.state.live
        if live is None or live.state.status is not Status.running:
            self._before = read(self.clock)
            return
        before, self._before = self._before, read(self.clock)
        slept = slept_ms(before, self._before)
        gap_ms = diverged_ms(before, self._before) + slept
        if gap_ms:
            live.gap_ms = gap_ms
            live.zero_ms += slept
            await self._event(Paused)
            self.state.on_change()
            return
        if self.cue_is_near():
            return
        if self.session_ms() >= live.cues_until_ms - LOOK_AHEAD_MS // 2:
            await self._schedule_cues()
        index = live.state.index
        moved = at(live.state, self.session_ms())
        if moved.index == index:
            return
        live.state = moved
        if moved.current is not None:
            await self._write(Mark, segment_id=moved.current.id)
        else:
            await self._write(Ended, ending=Ending.finished)
        await self._took_effect()

    async def _took_effect(self) -> None:
        """Shows what an event led to; a session that is over goes on to its log."""
        if self._live().state.status is Status.ended:
            await self.cues.awake(False)
            self.state.screen = Screen.log
        self.state.on_change()

    async def _write(self, kind: type[Event], **fields: Any) -> None:
        """Writes an event down, and only then lets it take effect; one after the other."""
        live = self._live()
        async with self._writing:
            seq, now_ms = live.state.seq + 1, self.session_ms()
            event = kind(seq=seq, id=str(uuid4()), session_ms=now_ms, wall=self.now(), **fields)
            await self.store.run.append(event)
            live.state = advance(live.state, event)
            if kind is Resumed:  # what the clocks did in a pause is nothing to ask about
                self._before = read(self.clock)

    async def _event(self, kind: type[Event], **fields: Any) -> None:
        """An event of the person's: it moves the cues that are to come."""
        await self._write(kind, **fields)
        await self._hand_over_cues()

    async def _hand_over_cues(self) -> None:
        """After an event: what was due at the event itself, whose writing took a little, comes now."""
        for due in coming_cues(self._live().state, until_ms=self.session_ms()):
            await self.cues.play(due)
        await self._schedule_cues()

    async def _schedule_cues(self) -> None:
        live, now_ms = self._live(), self.session_ms()
        live.cues_until_ms = now_ms + LOOK_AHEAD_MS
        coming = coming_cues(live.state, until_ms=live.cues_until_ms)
        cues = tuple(c for c in coming if c.at_ms >= now_ms)
        live.cue_times_ms = tuple(c.at_ms for c in cues)
        if cues:
            await self.cues.schedule(cues, session_ms=self.session_ms())
        else:
            await self.cues.cancel()

    async def _do(self, kind: type[Event], **fields: Any) -> None:
        await self._event(kind, **fields)
        await self._took_effect()

    async def pause(self) -> None:
        await self._do(Paused)

    async def _do_and_hold(self, kind: type[Event], **fields: Any) -> None:
        """An event of the person's after which the promised finish may need the rest fitted again."""
        await self._write(kind, **fields)
        await self._hold_finish()

    async def resume(self) -> None:
        live = self._live()
        set_back, live.gap_ms = live.gap_ms < 0, 0
        await self._write(Resumed)
        if set_back and not live.state.finish_released:
            await self._finish_later(Refit(segments=live.state.coming, said=CLOCK_SET))
        await self._hold_finish()

    async def tick(self) -> None:
        """The self-paced item that is on is done."""
        await self._do_and_hold(Ticked)

    # The promised finish

    async def _hold_finish(self) -> None:
        """Fits the rest again where the finish would be missed; where nothing may go, the finish moves."""
        live = self._live()
        if live.state.status is Status.running and not live.state.finish_released:
            left_ms = round((live.finish_at - self.now()) / timedelta(milliseconds=1))
            refit = hold_finish(live.state, left_ms)
            if refit is not None:
                await self._refit(refit, can_be_taken_back=True)
            elif is_late(live.state, left_ms):
                await self._finish_later(Refit(segments=live.state.coming, said=LATER))
        await self._hand_over_cues()
        await self._took_effect()

    async def keep_everything(self) -> None:
        """Takes back what was given up for the finish, which is later then."""
        refit = keep_everything(self._live().state)
        if refit is not None:
            await self._finish_later(refit)
            await self._hand_over_cues()
        self.state.on_change()

    async def _finish_later(self, refit: Refit) -> None:
        state = self._live().state
        left_ms = remaining_at(state, self.session_ms()) + total_ms(refit.segments)
        await self._refit(refit, finish_at=self.now() + timedelta(milliseconds=left_ms))

    async def _refit(self, refit: Refit, **fields: Any) -> None:
        result = {"segments": refit.segments, "items": refit.items, "said": refit.said}
        await self._write(Refitted, **result, **fields)
        live = self._live()
        live.said, live.said_at = refit.said, live.state.index

    def _known(self) -> Mapping[str, Movement]:
        """The movements that can take another's place: the library's, and those of the session's plan."""
        session = self._live().state.session
        plan = next((plan for plan in self.state.plans if plan.id == session.plan_id), None)
        return plan.known_movements() if plan is not None else library()

    def easier(self) -> Refit | None:
        """The easier form of the movement in hand, None where there is none to be had here."""
        return ease(self._live().state, self._known())

    async def take_easier(self) -> None:
        """Goes on in the easier form; an interval that is on begins again."""
        refit, on = self.easier(), self._live().state.current
        if refit is not None and on is not None:
            await self._change_over(refit, leaves=on.kind not in BETWEEN)

    def needed(self) -> tuple[Equipment, ...]:
        """What the movement in hand needs in the room."""
        return needed(self._live().state, self._known())

    async def do_without(self, missing: Equipment) -> None:
        """Goes on without something that is not there; an interval that needs it begins again in another
        movement."""
        state = self._live().state
        refit = do_without(state, missing, self._known())
        on = state.current
        await self._change_over(refit, leaves=on is not None and on.kind not in BETWEEN)

    async def _change_over(self, refit: Refit, *, leaves: bool) -> None:
        await self._refit(refit)
        await self._write(Resumed)
        if leaves:
            await self._write(Skipped)
        await self._hold_finish()

    async def hold(self, on: bool) -> None:
        await self._do(HoldStarted if on else HoldStopped)

    async def skip(self) -> None:
        await self._do_and_hold(Skipped)

    async def back(self) -> None:
        await self._do_and_hold(WentBack)

    async def redo(self) -> None:
        await self._do_and_hold(Redone)

    async def more_rest(self) -> None:
        await self._do_and_hold(MoreRest, added_ms=MORE_REST_MS)

    async def position_lost(self) -> None:
        await self._do(PositionLost)

    async def end_with_both_sides(self) -> None:
        """The other side gets the same, then the session is over."""
        refit = end_with_both_sides(self._live().state)
        if refit is not None:
            await self._refit(refit)
            await self._do(Resumed)

    async def end_early(self) -> None:
        await self._do(Ended, ending=Ending.early)

    async def not_over(self) -> None:
        """Takes an early end back: the session waits where it was ended."""
        await self._write(Reopened)
        if self._live().state.status is Status.paused:
            await self.cues.awake(True)
            self._show(Screen.running)

    async def set_load(self, movement: str, load_g: int) -> None:
        """What is lifted in a movement: found on the way, or said in the log."""
        if self._live().state.status is not Status.ended:
            await self._write(LoadFound, movement=movement, load_g=load_g)
        self._note_loads({movement: load_g})
        self.state.on_change()

    def _note_loads(self, loads_g: Mapping[str, int]) -> None:
        said = self.state.answers
        self.state.answers = said.model_copy(update={"loads_g": {**said.loads_g, **loads_g}})
