"""The coach's desk: which plan is written, what of it is open, and what becomes of it."""

from __future__ import annotations

from dataclasses import replace

from companion.actions.context import Context
from companion.actions.desk.edits import DeskEdits
from companion.actions.desk.hand_over import HandOver
from companion.actions.home.plans import Plans
from companion.state.app import Undo
from companion.state.desk import PlanOnDesk, on_desk
from companion.state.screen import Screen
from engine.plan.draft import DraftPlace, EditHistory, new_draft
from engine.plan.draft_parts import free_name
from engine.plan.plan import SessionPlan


class Desk:
    def __init__(self, context: Context, edit: DeskEdits, hand_over: HandOver, plans: Plans) -> None:
        self._context, self._plans = context, plans
        self.edit, self.hand_over, self.undo = edit, hand_over, context.undo

    async def write_plan(self, plan: SessionPlan | None = None) -> None:
        """Puts a plan on the desk: a new one, or a saved one with what was changed in it already."""
        unfinished = self._context.state.desk.unfinished.get(plan.id) if plan else None
        await self.go_on_writing(unfinished or (on_desk(plan) if plan else self._new()))

    def _new(self) -> PlanOnDesk:
        """Under an id that is free, until the plan has a name."""
        state = self._context.state
        taken = {*(plan.id for plan in state.plans.all), *state.desk.unfinished}
        draft = new_draft(free_name("new-plan", taken))
        return PlanOnDesk(EditHistory(draft), kept=draft, is_new=True)

    async def go_on_writing(self, plan: PlanOnDesk) -> None:
        desk = self._context.state.desk
        desk.plan = desk.unfinished[plan.id] = plan
        self._context.show(Screen.desk)
        await self.edit.reckon(plan)

    def open_part(self, where: DraftPlace, item: int | None = None) -> None:
        plan = self.edit.plan
        plan.open, plan.open_item, plan.searched = where, item, ""
        self._context.state.on_change()

    async def save(self) -> None:
        """Saves the plan among the plans; a new one gets the id of its name."""
        on_it, plan = self.edit.plan, self.hand_over.written_plan()
        if plan is None:
            return
        await self._plans.save(plan)
        await self._context.store.plans.remove_draft(on_it.id)
        self._put_away()
        state = self._context.state
        if state.undo is not None:
            state.undo = self._with_what_was_written(on_it, state.undo)
        state.on_change()

    def _with_what_was_written(self, plan: PlanOnDesk, done: Undo) -> Undo:
        """The way back, which brings what was written as well."""

        async def back() -> None:
            await done.back()
            self._context.state.desk.unfinished[plan.id] = plan
            await self.edit.save(plan)

        return replace(done, back=back)

    def _put_away(self) -> None:
        desk = self._context.state.desk
        desk.unfinished.pop(self.edit.plan.id)
        desk.plan = None

    async def leave(self) -> None:
        """What is written and not saved among the plans can be gone on with."""
        plan = self.edit.plan
        if not plan.changed:
            self._put_away()
        self._context.show(Screen.plans)
        await self.edit.save(plan)

    async def clear(self) -> None:
        """Puts away what is written; it can be brought back."""
        plan = self.edit.plan
        await self._context.store.plans.remove_draft(plan.id)
        self._put_away()
        undo = self._with_what_was_written(plan, Undo(f"{plan.name} is put away.", _nothing_else))
        self._context.show(Screen.plans, undo=undo)


async def _nothing_else() -> None:
    """Nothing else has to be taken back."""
