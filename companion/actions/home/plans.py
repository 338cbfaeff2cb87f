"""Plans: opened from a file or a link, looked at before they are saved, saved as a file, removed."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from companion.actions.context import Context
from companion.actions.fitting import choose_plan, fit
from companion.actions.home.adjustment import Adjustment
from companion.state.app import Undo
from companion.state.screen import Screen
from companion.words.saying import msgid, own, say
from engine.base.issue import Issue, Unreadable
from engine.base.printable import printable_line
from engine.base.reading import read
from engine.plan.adjustment import Adjustment as CoachAdjustment
from engine.plan.adjustment import adjustment_faults, is_adjustment
from engine.plan.check import check
from engine.plan.link import read_link
from engine.plan.plan import SessionPlan

THE_LINK, THE_ADJUSTMENT = msgid("The link"), msgid("What your coach asks")
LONGEST_FILE_NAME = 60


class Plans:
    def __init__(self, context: Context, adjustment: Adjustment) -> None:
        self._context, self._adjustment = context, adjustment
        self.undo = context.undo

    async def show(self) -> None:
        plans = self._context.state.plans
        plans.faults, plans.shown = (), None
        self._context.show(Screen.plans)

    def look_at(self, plan: SessionPlan) -> None:
        plans = self._context.state.plans
        plans.shown, plans.faults = plan, ()
        self._context.show(Screen.plan)

    async def take(self, plan_id: str) -> None:
        """Makes a plan the one of the next sessions, and goes to the next one."""
        await choose_plan(self._context, plan_id)
        self._context.show(Screen.setup)

    async def open_file(self) -> None:
        """Opens a plan or an adjustment from a file: it is shown before it is saved, or else its faults."""
        picked = await self._context.files.pick("json")
        if picked is None:
            return
        try:
            if is_adjustment(picked.content):
                self._look_at_adjustment(read(CoachAdjustment, picked.content))
                return
            plan = read(SessionPlan, picked.content)
            faults = check(plan)
        except Unreadable as unreadable:
            faults = unreadable.issues
        if faults:
            self._refuse(printable_line(picked.name)[:LONGEST_FILE_NAME], faults)
        else:
            self.look_at(plan)

    def open_link(self, written: str) -> None:
        """Opens the plan or the adjustment in a link: it is shown before it is saved."""
        try:
            document = read_link(written)
        except Unreadable as unreadable:
            self._refuse(say(THE_LINK), unreadable.issues)
            return
        if isinstance(document, SessionPlan):
            self.look_at(document)
        else:
            self._look_at_adjustment(document)

    def _look_at_adjustment(self, adjustment: CoachAdjustment) -> None:
        faults = adjustment_faults(adjustment, today=self._context.now().date())
        if faults:
            self._refuse(say(THE_ADJUSTMENT), faults)
        else:
            self._adjustment.look_at(adjustment)

    def _refuse(self, what: str, faults: tuple[Issue, ...]) -> None:
        plans = self._context.state.plans
        plans.shown = None
        plans.faulty, plans.faults = what, faults
        self._context.show(Screen.plans)

    async def export(self, plan: SessionPlan) -> None:
        """Saves a plan as a file."""
        text = json.dumps(plan.model_dump(mode="json"), indent=1, ensure_ascii=False)
        await self._context.files.save(f"{plan.id}.json", f"{text}\n".encode())

    async def save(self, plan: SessionPlan) -> None:
        """Saves a plan in place of the one with its id, which can be brought back."""
        store = self._context.store.plans
        before = next((one for one in self._context.state.plans.all if one.id == plan.id), None)
        async with self._read_afterwards():
            await store.save(*await self._unsaved_samples(), plan)
        await choose_plan(self._context, plan.id)

        async def back() -> None:
            async with self._read_afterwards():
                await (store.remove(plan.id) if before is None else store.save(before))

        self._context.show(
            Screen.plans, undo=Undo(say("{plan} is saved, and chosen.", plan=own(plan.name)), back)
        )

    async def remove(self, plan: SessionPlan) -> None:
        """Removes a plan; it can be brought back."""
        store = self._context.store.plans
        async with self._read_afterwards():
            await store.save(*await self._unsaved_samples())
            await store.remove(plan.id)

        async def back() -> None:
            async with self._read_afterwards():
                await store.save(plan)

        self._context.show(Screen.plans, undo=Undo(say("{plan} is removed.", plan=own(plan.name)), back))

    async def remove_adjustment(self, adjustment: CoachAdjustment) -> None:
        """Removes an adjustment that was taken; it can be taken again."""
        context, person = self._context, self._context.store.person
        await person.remove_adjustment(adjustment)
        await self._read_adjustments()

        async def back() -> None:
            await person.save_adjustment(adjustment)
            await self._read_adjustments()

        context.show(Screen.plans, undo=Undo(say("What your coach asked is removed."), back))

    async def _read_adjustments(self) -> None:
        context = self._context
        context.state.plans.adjustments = await context.store.person.adjustments()
        fit(context)

    def samples_missing(self) -> tuple[SessionPlan, ...]:
        saved = {plan.id for plan in self._context.state.plans.all}
        return tuple(plan for plan in self._context.samples() if plan.id not in saved)

    async def bring_samples_back(self) -> None:
        samples = await self._unsaved_samples()
        async with self._read_afterwards():
            await self._context.store.plans.save(*samples, *self.samples_missing())
        self._context.show(Screen.plans)

    async def _unsaved_samples(self) -> tuple[SessionPlan, ...]:
        """The samples before the first change: they are shown because no plan is saved, and saved with it."""
        return () if await self._context.store.plans.all() else self._context.state.plans.all

    @asynccontextmanager
    async def _read_afterwards(self) -> AsyncIterator[None]:
        """Reads the plans after a change: what was saved before a refusal counts."""
        try:
            yield
        finally:
            await self._read()

    async def _read(self) -> None:
        """Reads the plans; if none is left, the samples are there again: there is always one to fit."""
        context = self._context
        context.state.plans.all = await context.store.plans.all() or context.samples()
        fit(context)
