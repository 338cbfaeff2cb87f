"""Opening: reads what is saved, and takes up a session that was cut off."""

from __future__ import annotations

from contextlib import suppress
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from companion.actions.context import Context
from companion.actions.fitting import asked_by_coach, fit, learn
from companion.actions.late import open_questions
from companion.actions.said_today import take_today
from companion.actions.session.run import Run
from companion.actions.session.session import Session
from companion.services.clock import ClockReading, read
from companion.state.live import Live
from companion.state.screen import Screen
from companion.words.saying import all_said, own, said
from engine.base.periods import iso_week
from engine.live.events import Returned, RunningRecord
from engine.live.run import replay
from engine.live.state import Status
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.noted_pain import NotedPain
from engine.record.profile import Birth, Profile, ProfileFlag, WeekSaid
from engine.today.adjusted import minutes_hint
from engine.today.said import SaidToday
from storage.models import KitOwned, SavedDraft, Settings
from storage.problem import StorageProblem

if TYPE_CHECKING:
    from companion.state.plan_on_desk import PlanOnDesk


class _Saved(NamedTuple):
    """All that an opening reads; ``unread`` says why no drafts could be read."""

    profile: Profile | None
    plans: tuple[SessionPlan, ...]
    kit: KitOwned | None
    settings: Settings
    history: History
    said_today: SaidToday | None
    pain_notes: tuple[NotedPain, ...]
    adjustments: tuple[Adjustment, ...]
    run: RunningRecord | None
    drafts: tuple[SavedDraft, ...]
    unread: str


class Opening:
    def __init__(self, context: Context, run: Run, session: Session) -> None:
        self._context, self._run, self._session = context, run, session

    async def open(self, *, anew: bool = False) -> None:
        """Reads what is saved: profile, plans, kit, history, and a session that was cut off.

        Nothing is shown of what is saved before all of it is read. With ``anew`` nothing stays of what was
        shown before.
        """
        await self._context.keeping.try_again()
        state, store, saved = self._context.state, self._context.store, await self._saved()
        if anew:
            state.forget()
        state.home.profile = saved.profile
        state.plans.all = saved.plans or self._context.samples()
        state.desk.unfinished = self._unfinished(saved.drafts)
        self._take_kit(saved.kit)
        await self._take_settings(saved.settings)
        state.week.name = iso_week(self._context.now().date())
        confirmed = state.home.profile or state.read_only  # a window that may only read cannot confirm them
        state.screen = Screen.setup if confirmed else Screen.cautions
        learn(self._context, saved.history)
        take_today(self._context, saved.said_today, saved.pain_notes)
        state.plans.adjustments = saved.adjustments
        state.fit.minutes = minutes_hint(asked_by_coach(self._context)) or state.fit.minutes
        await self._return_to_run(saved.run)
        if state.screen is not Screen.cautions:
            fit(self._context)
        told = [all_said(trouble.said) for trouble in await store.troubles()]
        state.problem = " ".join(filter(None, (saved.unread, *told)))
        state.on_change()
        await self._renew_zone()
        state.afterwards.asked = await open_questions(self._context)
        state.on_change()

    def begin_anew(self) -> None:
        """Forgets the person, whose records are gone: this window is as that of somebody new."""
        context, state = self._context, self._context.state
        state.forget()
        state.plans.all, state.screen = context.samples(), Screen.cautions
        state.week.name = iso_week(context.now().date())

    async def _saved(self) -> _Saved:
        store = self._context.store
        drafts, unread = await self._drafts()
        return _Saved(
            profile=await store.person.profile(),
            plans=await store.plans.all(),
            kit=await store.person.kit(),
            settings=await store.person.settings(),
            history=await store.sessions.history(),
            said_today=await store.person.said_today(),
            pain_notes=await store.sessions.pain_notes(),
            adjustments=await store.person.adjustments(),
            run=await store.run.read(),
            drafts=drafts,
            unread=unread,
        )

    async def move_to(self, zone: str) -> None:
        """Goes on in a time zone; most calls change nothing."""
        context = self._context
        if zone == context.zone:
            return
        context.zone = zone
        context.state.week.name = iso_week(context.now().date())
        if context.state.fit.is_known:
            fit(context)
        context.state.on_change()
        await self._renew_zone()

    async def _renew_zone(self) -> None:
        """Keeps the profile in the zone where the person is now. It waits for a disk that refuses."""
        home, here = self._context.state.home, self._context.profile()
        if home.profile is None or home.profile == here or self._context.state.read_only:
            return
        with suppress(StorageProblem):
            await self._context.store.person.save_profile(here)
            home.profile = here

    def _take_kit(self, owned: KitOwned | None) -> None:
        home = self._context.state.home
        if owned is not None:
            home.kit, home.without, home.rack = owned.dumbbells, owned.absent, owned.rack

    async def _take_settings(self, settings: Settings) -> None:
        state = self._context.state
        state.device.settings = settings
        await self._context.set_mix()
        plans = state.plans
        plans.chosen_id = plans.chosen_id or settings.plan_id or plans.all[0].id

    async def _drafts(self) -> tuple[tuple[SavedDraft, ...], str]:
        """The plans being written, or why they cannot be read: nobody is kept from a session by that."""
        try:
            return await self._context.store.plans.drafts(), ""
        except StorageProblem as problem:
            return (), said(problem.what)

    def _unfinished(self, drafts: tuple[SavedDraft, ...]) -> dict[str, PlanOnDesk]:
        if not drafts:  # most people write no plan, and their start does without the desk
            return {}
        from companion.state.plan_on_desk import on_desk_again

        plans = {plan.id: plan for plan in self._context.state.plans.all}
        return {one.id: on_desk_again(one.content, plans.get(one.id), one.id) for one in drafts}

    async def look_elsewhere(self) -> None:
        """In a window that may only read: sees whether a session is in progress, and which."""
        self._see_elsewhere(await self._context.store.run.read())

    def _see_elsewhere(self, record: RunningRecord | None) -> None:
        run = self._context.state.run
        elsewhere = own(record.session.plan_name) if record is not None else ""
        if elsewhere != run.elsewhere:
            run.elsewhere = elsewhere
            self._context.state.on_change()

    async def come_back(self, left: ClockReading) -> None:
        """Goes on after nobody was there since ``left``: a session that ran waits, paused."""
        live, now = self._context.state.run.live, read(self._context.clock)
        if live is not None and live.state.status is Status.running:
            live.clocks = now
            live.zero_ms += now.monotonic_ms - left.monotonic_ms
            live.gap_ms = int(max(timedelta(0), now.wall - left.wall).total_seconds() * 1000)
            await self._run.event(Returned, away_ms=live.gap_ms)
        self._context.state.on_change()

    async def _return_to_run(self, record: RunningRecord | None) -> None:
        context, state = self._context, self._context.state
        if state.read_only:
            self._see_elsewhere(record)
            return
        if record is None:
            return
        run = replay(record)
        last_wall = record.events[-1].wall if record.events else record.started_at
        clocks = read(context.clock)
        live = Live(
            record.run_id,
            run,
            record.started_at,
            record.finish_at,
            clocks,
            zero_ms=clocks.monotonic_ms - run.at_ms,
        )
        state.run.live = live
        self._session.propose(run.session)
        state.screen = Screen.running
        if run.status is Status.ended:
            state.screen = Screen.log
        elif run.status is not Status.ready:
            away = max(timedelta(0), context.now() - last_wall)
            live.gap_ms = int(away.total_seconds() * 1000)
            await self._run.event(Returned, away_ms=live.gap_ms)
        if run.telling is not None:
            state.screen = Screen.hurt

    async def ask_who(self, said: str = "") -> None:
        """Asks who trains now, on a device that several people use, once all that counts here is saved."""
        await self._context.keeping.try_again()
        if not self._context.state.unsaved:
            await self._context.household.ask_who(said)

    def whose(self) -> str:
        """The name of somebody whose records begin here, on a device that several people use; else empty."""
        context = self._context
        return context.profile().name if context.state.device.is_shared else ""

    def today(self) -> date:
        """The local date."""
        return self._context.now().date()

    async def accept_cautions(
        self, flags: tuple[ProfileFlag, ...], week: int | None = None, birth: Birth | None = None
    ) -> None:
        """Says that the person has read the cautions. On a device that does not vibrate, words are spoken."""
        context, state = self._context, self._context.state
        said = week and WeekSaid(week=week, said_on=context.now().date())
        read = {"cautions_read_at": context.now(), "flags": flags, "pregnancy": said, "birth": birth}
        state.home.profile = context.profile().model_copy(update=read)
        await context.keep_profile()
        able = context.cues.capabilities
        state.device.nothing_felt = able is not None and not able.vibrate and able.voice != "none"
        fit(context)
        context.show(Screen.setup)
        if state.device.nothing_felt:
            await context.set_device(voice=True)
