"""Opening: what is kept is read, and a session that was cut off stands where it stood."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from companion.actions.running import Running
from companion.actions.setup import Fitting
from companion.state.app import Screen
from companion.state.desk import Desk, desk_with
from companion.state.live import Live
from engine.base.periods import iso_week
from engine.live.events import Returned
from engine.live.run import replay
from engine.live.state import Status
from engine.plan.plan import SessionPlan
from engine.record.record import ProfileFlag
from storage.problem import StorageProblem


class Opening(Fitting, Running):
    async def open(self, samples: Callable[[], tuple[SessionPlan, ...]]) -> None:
        """Reads what is kept: profile, plans, kit, and a session that was cut off."""
        state, store = self.state, self.store
        state.profile = await store.person.profile()
        self._samples = samples
        state.plans = await store.plans.all() or samples()
        state.desks, unread = await self._desks()
        owned = await store.person.kit()
        if owned is not None:
            state.kit, state.without, state.rack = owned.dumbbells, owned.absent, owned.rack
        state.settings = await store.person.settings()
        await self._set_mix()
        state.plan_id = state.plan_id or state.settings.plan_id or state.plans[0].id
        state.week = iso_week(self.now().date())
        confirmed = state.profile or state.read_only  # the cautions are read where they can be confirmed
        state.screen = Screen.setup if confirmed else Screen.cautions
        self._learn(await store.sessions.history())
        state.adjustments = await store.person.adjustments()
        state.follow_up = await self._open_questions()
        await self._return_to_run()
        if state.screen is not Screen.cautions:
            self.refit()
        troubles = await store.troubles()
        state.problem = " ".join(filter(None, (unread, *(trouble.message for trouble in troubles))))
        state.on_change()

    async def _desks(self) -> tuple[dict[str, Desk], str]:
        """What is being written, and why it cannot be read: that keeps nobody from a session."""
        plans = {plan.id: plan for plan in self.state.plans}
        try:
            drafts = await self.store.plans.drafts()
        except StorageProblem as problem:
            return {}, str(problem)
        return {one.id: desk_with(one.content, plans.get(one.id), one.id) for one in drafts}, ""

    async def _return_to_run(self) -> None:
        record = None if self.state.read_only else await self.store.run.read()
        if record is None:
            return
        run = replay(record)
        last_wall = record.events[-1].wall if record.events else record.started_at
        zero_ms = self.clock.monotonic_ms() - run.at_ms
        self.state.live = Live(record.run_id, run, record.started_at, record.finish_at, zero_ms)
        self._propose(run.session)
        self._note_loads(run.loads_g)
        self.state.screen = Screen.running
        if run.status is Status.ended:
            self.state.screen = Screen.log
        elif run.status is not Status.ready:
            away = max(timedelta(0), self.now() - last_wall)
            self.state.live.gap_ms = int(away.total_seconds() * 1000)
            await self._event(Returned, away_ms=self.state.live.gap_ms)

    async def accept_cautions(self, flags: tuple[ProfileFlag, ...]) -> None:
        """The person has read the cautions and checked the room. Where nothing is felt, words are said."""
        profile = self._profile()
        self.state.profile = profile.model_copy(update={"cautions_read_at": self.now(), "flags": flags})
        await self.store.person.save_profile(self.state.profile)
        able = self.cues.capabilities
        self.state.nothing_felt = able is not None and not able.vibrate and able.voice != "none"
        self.refit()
        self._show(Screen.setup)
        if self.state.nothing_felt:
            await self.set_device(voice=True)
