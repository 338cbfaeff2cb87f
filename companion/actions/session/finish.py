"""The promised finish of a session in progress, and the re-fits of what is still to come."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from companion.actions.context import Context
from companion.actions.session.run import Run
from companion.state.live import Live, OfferedCut
from engine.live.events import Event, LoadFound, Refitted, Resumed, Skipped
from engine.live.loads import a_joint_hurt, entering
from engine.live.refit import cuts_too_much, is_late, keep_everything, keep_finish, keeping, later
from engine.live.remainder import Refit
from engine.live.state import Status
from engine.live.timing import lead_in_at, remaining_at, remaining_session_at
from engine.load.entering import entering_load_g
from engine.movements.movement import Movement, library
from engine.session.choices import Chosen
from engine.session.segment import total_ms


class Finish:
    """Keeps the promised finish by fitting the rest again. If nothing more may be cut, the finish moves."""

    def __init__(self, context: Context, run: Run) -> None:
        self._context, self._run = context, run

    async def do(self, kind: type[Event], **fields: Any) -> None:
        """Takes in an event of the person that may make the session miss its finish."""
        self._run.note(kind, **fields)
        await self.keep()

    async def keep(self) -> None:
        """Fits the rest again if the session would miss its finish, and shows what happened."""
        live = self._run.live
        if live.state.status is Status.running:
            left_ms = self._left_ms(live.finish_at)
            if is_late(live.state, left_ms):
                self._cut_or_later(live, left_ms)
        await self._run.hand_over_cues()
        await self._run.show_effect()
        await self._run.save()

    def _cut_or_later(self, live: Live, left_ms: int) -> None:
        """Makes the smallest cut, or only offers it: after pain, and where it costs too much for what is
        missing."""
        promised, cut, live.offered = live.finish_at, keep_finish(live.state, left_ms), None
        released = live.state.finish_released
        if cut is not None and not released and not cuts_too_much(live.state, cut, left_ms):
            self.apply(keeping(cut, self._context.here(promised)), can_be_taken_back=True)
            return
        if not released:
            self.move(later(live.state, left_ms, cut))
        if cut is not None:
            live.offered = OfferedCut(cut.cut, promised, live.state.index)

    async def take_cut(self) -> None:
        """Makes the cut that was offered, so that the session ends when it was promised to."""
        live = self._run.live
        offered, live.offered = live.offered, None
        cut = keep_finish(live.state, self._left_ms(offered.finish_at)) if offered is not None else None
        if offered is not None and cut is not None:
            kept = keeping(cut, self._context.here(offered.finish_at))
            self.apply(kept, finish_at=offered.finish_at, can_be_taken_back=True)
            await self._run.hand_over_cues()
        self._context.state.on_change()
        await self._run.save()

    def finish_with_everything(self) -> datetime | None:
        """When the session would end if the last cut were undone; None where there is none."""
        live = self._run.live
        back = keep_everything(live.state)
        if back is None:
            return None
        more_ms = total_ms(back.segments) - total_ms(live.state.coming)
        return self._context.here(live.finish_at + timedelta(milliseconds=more_ms))

    def done_by(self) -> datetime:
        """When the session will be done, by the wall clock here: as promised, or sooner where it is ahead."""
        live = self._run.live
        left_ms = remaining_session_at(live.state, self._run.session_ms())
        return self._context.here(min(live.finish_at, self._context.now() + timedelta(milliseconds=left_ms)))

    def _left_ms(self, finish_at: datetime) -> int:
        return round((finish_at - self._context.now()) / timedelta(milliseconds=1))

    async def keep_everything(self) -> None:
        """Takes back what was cut for the finish, which makes it later."""
        refit = keep_everything(self._run.live.state)
        if refit is not None:
            self.move(refit)
            await self._run.hand_over_cues()
        self._context.state.on_change()
        await self._run.save()

    def move(self, refit: Refit) -> None:
        """Promises a later finish: that of a re-fit which keeps more."""
        run = self._run
        state, now_ms = run.live.state, run.session_ms()
        left_ms = lead_in_at(state, now_ms) + remaining_at(state, now_ms) + total_ms(refit.segments)
        self.apply(refit, finish_at=self._context.now() + timedelta(milliseconds=left_ms))

    def apply(self, refit: Refit, **fields: Any) -> None:
        """Takes in a re-fit and says what changed."""
        result = {"segments": refit.segments, "items": refit.items, "said": refit.said}
        self._run.note(Refitted, **result, **fields)
        live = self._run.live
        live.said, live.said_at, live.entered = refit.said, live.state.index, ()
        for chosen in dict.fromkeys(added.item.chosen for added in refit.items):
            if chosen.dumbbells:
                self._enter(chosen)

    def _enter(self, chosen: Chosen) -> None:
        """Says and logs what a movement starts with that enters now."""
        context, live = self._context, self._run.live
        load_g = entering_load_g(
            chosen,
            context.state.learned.history.exposures,
            context.state.home.rack,
            today=context.now().date(),
            after_pain=a_joint_hurt(live.state),
        )
        self._run.note(LoadFound, movement=chosen.movement, load_g=load_g)
        live.entered = (*live.entered, entering(chosen, load_g))

    async def change_over(self, refit: Refit) -> None:
        """Goes on with another movement; what is left of the current interval is skipped."""
        self.apply(refit)
        leaves_interval = self._run.live.state.in_interval
        self._run.note(Resumed)
        if leaves_interval:
            self._run.note(Skipped)
        await self.keep()

    def known(self) -> Mapping[str, Movement]:
        """The movements that can replace another: those of the library and of the session's plan."""
        session = self._run.live.state.session
        plan = next((one for one in self._context.state.plans.all if one.id == session.plan_id), None)
        return plan.known_movements() if plan is not None else library()
