"""The coach's desk: which plan is being written, which part is open, and what becomes of it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from companion.actions.context import Context
from companion.actions.desk.edits import DeskEdits
from companion.actions.desk.hand_over import HandOver
from companion.actions.home.plans import Plans
from companion.state.app import Undo
from companion.state.plan_on_desk import PlanOnDesk, on_desk
from companion.state.screen import Screen
from companion.words.saying import own, say
from engine.plan.draft import DraftPlace, EditHistory, new_draft
from engine.plan.draft_parts import free_name
from engine.plan.plan import SessionPlan


class Desk:
    def __init__(self, context: Context, edit: DeskEdits, hand_over: HandOver, plans: Plans) -> None:
        self._context, self._plans = context, plans
        self.edit, self.hand_over, self.undo = edit, hand_over, context.undo

    async def write_plan(self, plan: SessionPlan | None = None) -> None:
        """Puts a plan on the desk: a new one, or a saved one with its unsaved changes."""
        unfinished = self._context.state.desk.unfinished.get(plan.id) if plan else None
        await self.go_on_writing(unfinished or (on_desk(plan) if plan else self._new()))

    def _new(self) -> PlanOnDesk:
        """An empty plan. Its id is only free for now: a new plan is saved under the id of its name."""
        draft = new_draft(free_name("new-plan", self.hand_over.taken_ids()))
        return PlanOnDesk(EditHistory(draft), saved=draft, is_new=True)

    async def go_on_writing(self, plan: PlanOnDesk) -> None:
        desk = self._context.state.desk
        desk.plan = desk.unfinished[plan.id] = plan
        self._context.show(Screen.desk)
        await self.edit.work_out_figures(plan)

    def open_part(self, where: DraftPlace, item: int | None = None) -> None:
        plan = self.edit.plan
        plan.open, plan.open_item, plan.searched = where, item, ""
        self._context.state.on_change()

    async def save(self) -> None:
        """Saves the plan among the plans; a new one gets the id of its name."""
        state, written = self._context.state, self.edit.plan
        plan = self.hand_over.written_plan()
        if plan is None:
            return
        await self._plans.save(plan)
        await self._put_away(written)
        if state.undo is not None:
            state.undo = self._undo(written, state.undo.said, state.undo.back)
        state.on_change()

    async def clear(self) -> None:
        """Puts away what is written; it can be brought back."""
        plan = self.edit.plan
        await self._put_away(plan)
        self._context.show(Screen.plans, undo=self._undo(plan, say("Discarded: {plan}", plan=own(plan.name))))

    async def leave(self) -> None:
        """Leaves the desk; the coach can go on later with what is not saved among the plans."""
        plan = self.edit.plan
        if not plan.changed:
            self._take_off()
        self._context.show(Screen.plans)
        await self.edit.save(plan)

    async def _put_away(self, plan: PlanOnDesk) -> None:
        self._take_off()
        await self.edit.save(plan)

    def _take_off(self) -> None:
        desk = self._context.state.desk
        desk.unfinished.pop(self.edit.plan.id)
        desk.plan = None

    def _undo(self, plan: PlanOnDesk, said: str, first: Callable[[], Awaitable[None]] | None = None) -> Undo:
        """Brings back what was written, after ``first`` is done."""

        async def back() -> None:
            if first is not None:
                await first()
            self._context.state.desk.unfinished[plan.id] = plan
            await self.edit.save(plan)

        return Undo(said, back)
