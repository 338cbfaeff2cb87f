"""The session: its start, and what a person does while it runs."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import uuid4

from companion.actions.context import Context
from companion.actions.fitting import proposed, proposed_free
from companion.actions.session.finish import Finish
from companion.actions.session.hurt import Hurt
from companion.actions.session.run import Run
from companion.actions.session.swap import Swap
from companion.services.clock import read
from companion.state.live import Live, OfferedCut
from companion.state.screen import Screen
from engine.growth.free import as_grown
from engine.live.events import (
    Ended,
    Ending,
    FormSlipped,
    HoldStarted,
    HoldStopped,
    LoadFound,
    MoreRest,
    Paused,
    Redone,
    Reopened,
    Resumed,
    RunningRecord,
    Skipped,
    Started,
    Ticked,
    WentBack,
)
from engine.live.loads import open_to_choice
from engine.live.refit import by_new_clock, end_with_both_sides
from engine.live.run import begin
from engine.live.state import Status
from engine.load.proposal import LoadProposal
from engine.load.session_loads import as_proposed, for_practice
from engine.session.fitted import FittedSession

MORE_REST_MS = 15_000


class Session:
    def __init__(self, context: Context, run: Run, finish: Finish, swap: Swap, hurt: Hurt) -> None:
        self._context, self._run, self._finish = context, run, finish
        self.swap, self._hurt = swap, hurt
        self.session_ms = run.session_ms
        self.cue_is_near = run.cue_is_near

    async def watch(self) -> None:
        """Is called often: follows the clock, and asks for the number after an unloaded try."""
        await self._run.watch()
        await self._hurt.ask_after_try()
        if not self._run.cue_is_near():
            await self._context.keeping.try_again()

    async def start(self, instead: FittedSession | None = None) -> None:
        """Opens the running record and starts the clock: of the session that is fitted or picked, or
        ``instead`` of it."""
        context, state = self._context, self._context.state
        session = instead or state.fit.session
        barred = instead is None and (bool(state.fit.care.no_session) or state.body.unrated is not None)
        if session is None or barred or state.run.live is not None:
            return
        await context.set_mix()
        free = proposed_free(context, session)
        session = as_proposed(session, self.propose(session))
        session = as_grown(session, free)
        session = session.with_sound_holds(state.learned.sound_holds)
        started_at = context.now()
        finish_at = started_at + timedelta(milliseconds=session.promised_ms)
        opening = RunningRecord(
            run_id=str(uuid4()),
            started_at=started_at,
            zone=context.zone,
            finish_at=finish_at,
            session=session,
        )
        await context.store.run.open(opening)
        clocks = read(context.clock)
        state.run.live = Live(
            opening.run_id, begin(session), started_at, finish_at, clocks, zero_ms=clocks.monotonic_ms
        )
        state.device.nothing_felt = False
        self._run.note(Started)
        await self._run.hand_over_cues()
        await context.cues.awake(True)
        context.show(Screen.running)
        await self._run.save()

    def propose(self, session: FittedSession) -> tuple[LoadProposal, ...]:
        """Proposes the loads of a session, and keeps why."""
        made = proposed(self._context, session)
        self._context.state.run.proposals = for_practice(made)
        return made

    async def pause(self) -> None:
        await self._run.do(Paused)

    async def resume(self) -> None:
        live = self._run.live
        set_back, live.gap_ms = live.gap_ms < 0, 0
        self._run.note(Resumed)
        if set_back and not live.state.finish_released:
            self._finish.move(by_new_clock(live.state))
        await self._finish.keep()

    async def tick(self) -> None:
        """Says that the self-paced item in hand is done."""
        await self._finish.do(Ticked)

    async def hold(self, on: bool) -> None:
        await self._run.do(HoldStarted if on else HoldStopped)

    async def skip(self) -> None:
        await self._finish.do(Skipped)

    async def back(self) -> None:
        await self._finish.do(WentBack)

    async def redo(self) -> None:
        await self._finish.do(Redone)

    async def more_rest(self) -> None:
        await self._finish.do(MoreRest, added_ms=MORE_REST_MS)

    async def form_slipped(self) -> None:
        await self._run.do(FormSlipped)

    async def something_hurts(self) -> None:
        await self._hurt.stop()

    async def keep_everything(self) -> None:
        """Takes back what was cut for the finish, which makes it later."""
        await self._finish.keep_everything()

    async def take_cut(self) -> None:
        """Makes the cut that was only offered."""
        await self._finish.take_cut()

    def finish_with_everything(self) -> datetime | None:
        """When the session would end with the last cut undone."""
        return self._finish.finish_with_everything()

    def finish_if_cut(self, offered: OfferedCut) -> datetime:
        """When the session would end with the offered cut, by the wall clock here."""
        return self._context.here(offered.finish_at)

    async def end_with_both_sides(self) -> None:
        """Gives the other side the same work, and then ends the session."""
        refit = end_with_both_sides(self._run.live.state)
        if refit is not None:
            self._finish.apply(refit)
            await self._run.do(Resumed)

    async def end_early(self) -> None:
        await self._run.do(Ended, ending=Ending.early)

    async def not_over(self) -> None:
        """Takes an early end back: the session is paused where it was ended."""
        self._run.note(Reopened)
        if self._run.live.state.status is Status.paused:
            await self._context.cues.awake(True)
            self._context.show(Screen.running)
        await self._run.save()

    async def set_load(self, movement: str, load_g: int) -> None:
        """Says the load found for a movement, which counts from now on; where it comes in several places of
        the round, for the one that comes."""
        state = self._run.live.state
        work = open_to_choice(state)
        several = work is not None and state.session.turn(work.block, work.place, movement) is not None
        place = {"block": work.block, "place": work.place} if work is not None and several else {}
        await self._run.event(LoadFound, movement=movement, load_g=load_g, **place)
        self._context.state.on_change()

    def done_by(self) -> datetime:
        """When the session will be done, by the wall clock here."""
        return self._finish.done_by()
