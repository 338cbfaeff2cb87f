"""Plans: looked at before they are kept, taken from a file or a link, given away as a file, removed."""

from __future__ import annotations

import json

from companion.actions.setup import Fitting
from companion.state.app import Screen, Undo
from engine.base.issue import Issue, Unreadable
from engine.base.printable import printable_line
from engine.base.reading import read
from engine.plan.adjustment import Adjustment, adjustment_faults, is_adjustment
from engine.plan.check import check
from engine.plan.link import read_link
from engine.plan.plan import SessionPlan

THE_LINK, THE_ADJUSTMENT = "The link", "The adjustment"
LONGEST_FILE_NAME = 60


class Planning(Fitting):
    async def show_plans(self) -> None:
        self.state.faults, self.state.plan_shown = (), None
        self._show(Screen.plans)

    def show_plan(self, plan: SessionPlan) -> None:
        self.state.plan_shown, self.state.faults = plan, ()
        self._show(Screen.plan)

    async def take_plan(self, plan_id: str) -> None:
        """The plan of the next session."""
        await self.choose_plan(plan_id)
        self._show(Screen.setup)

    # In and out

    async def import_plan(self) -> None:
        """A plan from a file: shown before it is kept, or its faults, each at its place."""
        picked = await self.files.pick("json")
        if picked is None:
            return
        try:
            if is_adjustment(picked.content):
                self._import_adjustment(read(Adjustment, picked.content))
                return
            plan = read(SessionPlan, picked.content)
            faults = check(plan)
        except Unreadable as unreadable:
            faults = unreadable.issues
        if faults:
            self._refuse(printable_line(picked.name)[:LONGEST_FILE_NAME], faults)
        else:
            self.show_plan(plan)

    def _import_adjustment(self, adjustment: Adjustment) -> None:
        faults = adjustment_faults(adjustment)
        if faults:
            self._refuse(THE_ADJUSTMENT, faults)
        else:
            self.show_adjustment(adjustment)

    def open_link(self, written: str) -> None:
        """The plan of a link, or the adjustment: shown before it is kept."""
        try:
            document = read_link(written)
        except Unreadable as unreadable:
            self._refuse(THE_LINK, unreadable.issues)
            return
        if isinstance(document, SessionPlan):
            self.show_plan(document)
        else:
            self.show_adjustment(document)

    def show_adjustment(self, adjustment: Adjustment) -> None:
        """What a coach asks, in sentences, before it is taken."""
        self.state.adjustment_shown, self.state.faults = adjustment, ()
        self._show(Screen.adjustment)

    async def take_adjustment(self) -> None:
        """The adjustment that is shown shapes each fit while it is in force."""
        if self.state.adjustment_shown is not None:
            await self.store.person.save_adjustment(self.state.adjustment_shown)
            self.state.adjustments = await self.store.person.adjustments()
            self.state.adjustment_shown = None
            self.refit()
        self._show(Screen.setup)

    def _refuse(self, what: str, faults: tuple[Issue, ...]) -> None:
        self.state.plan_shown = None
        self.state.faulty, self.state.faults = what, tuple(one.in_short() for one in faults)
        self._show(Screen.plans)

    async def export_plan(self, plan: SessionPlan) -> None:
        text = json.dumps(plan.model_dump(mode="json"), indent=1, ensure_ascii=False)
        await self.files.save(f"{plan.id}.json", f"{text}\n".encode())

    # Keeping and removing

    async def keep_plan(self, plan: SessionPlan) -> None:
        """Keeps a plan, in place of the one with its id; what was there can be brought back."""
        before = next((one for one in self.state.plans if one.id == plan.id), None)
        await self._keep_shown()
        await self.store.plans.save(plan)
        await self._read_plans()
        await self.choose_plan(plan.id)

        async def back() -> None:
            await (self.store.plans.remove(plan.id) if before is None else self.store.plans.save(before))
            await self._read_plans()

        self._show(Screen.plans, undo=Undo(f"{plan.name} is kept, and chosen.", back))

    async def remove_plan(self, plan: SessionPlan) -> None:
        """Takes a plan away; it can be brought back."""
        await self._keep_shown()
        await self.store.plans.remove(plan.id)
        await self._read_plans()

        async def back() -> None:
            await self.store.plans.save(plan)
            await self._read_plans()

        self._show(Screen.plans, undo=Undo(f"{plan.name} is removed.", back))

    def samples_missing(self) -> tuple[SessionPlan, ...]:
        held = {plan.id for plan in self.state.plans}
        return tuple(plan for plan in self._samples() if plan.id not in held)

    async def bring_samples_back(self) -> None:
        await self._keep_shown()
        for plan in self.samples_missing():
            await self.store.plans.save(plan)
        await self._read_plans()
        self._show(Screen.plans)

    async def _keep_shown(self) -> None:
        """While nothing is kept the samples are shown; the first change keeps them with it."""
        if not await self.store.plans.all():
            for plan in self.state.plans:
                await self.store.plans.save(plan)

    async def _read_plans(self) -> None:
        """Where no plan is left the samples are shown again, for there is always one to fit."""
        self.state.plans = await self.store.plans.all() or self._samples()
        self.refit()
