"""Writing a plan: each edit is checked and saved at once, and the plan's minutes are worked out again."""

from __future__ import annotations

import asyncio
from dataclasses import replace

from companion.actions.context import Context
from companion.state.plan_on_desk import THE_PLAN, Figures, PlanOnDesk
from companion.words.saying import msgid, say
from engine.base.units import LoadUnit
from engine.fit.minutes_table import minutes_give, planned_rows
from engine.movements.movement import Kit
from engine.movements.own_choice import Occasion
from engine.plan.balance import balance
from engine.plan.draft import DraftPlace, Edit, EditHistory, Insert, Move, Put, Remove, plan_of, value_at
from engine.plan.draft_parts import (
    allowance_added,
    block_added,
    movement_added,
    own_movement_added,
    substitute_added,
)
from engine.plan.plan import BlockKind
from storage.models import SavedDraft

TYPING_S = 0.2
"""Letters that come faster are checked together."""
NO_NAME = msgid("Write the name of the new movement.")


class DeskEdits:
    def __init__(self, context: Context) -> None:
        self._context = context

    @property
    def plan(self) -> PlanOnDesk:
        """The plan that is being written. Raises LookupError where there is none."""
        return self._context.state.desk.open_plan

    @property
    def unit(self) -> LoadUnit:
        """The unit in which the coach writes loads."""
        return self._context.state.home.unit

    def unfold(self, item: int) -> None:
        """Unfolds a movement of the open block, or folds it."""
        plan = self.plan
        plan.open_item = None if plan.open_item == item else item
        self._context.state.on_change()

    def search_movement(self, written: str) -> None:
        self.plan.searched = written
        self._context.state.on_change()

    def mind_field(self, inside: bool) -> None:
        """Notes whether the keyboard is inside a field: the field then has the keys for undo."""
        plan = self._context.state.desk.plan
        if plan is not None:  # leaving the desk leaves a field, too
            plan.in_field = inside

    async def write(self, edit: Edit) -> None:
        """Makes one edit; faults and figures follow once the writing pauses."""
        plan = self.plan
        plan.history = plan.history.did(edit)
        written = plan.draft
        if isinstance(edit, Put) and isinstance(edit.value, str):
            await asyncio.sleep(TYPING_S)
        if plan.draft is written:
            await self._check(plan)

    async def add_block(self, kind: BlockKind) -> None:
        plan = self.plan
        added = block_added(plan.draft, kind)
        plan.open, plan.open_item, plan.searched = (*added.where, added.at), None, ""
        await self._make(added)

    async def add_movement(self, slug: str) -> None:
        plan = self.plan
        match plan.open:
            case ("blocks", int(block)):
                await self._make(movement_added(plan.draft, block, slug))

    async def add_substitute(self, where: DraftPlace, when: Occasion) -> None:
        """Adds a substitute for an occasion to the movement at a place."""
        await self._make(substitute_added(self.plan.draft, where, when))

    async def add_allowance(self, give_up: str) -> None:
        await self._make(allowance_added(self.plan.draft, give_up))

    async def add_own_movement(self, like: str, name: str) -> None:
        """Adds a movement of the plan's own, to the open block too. Raises ValueError with one sentence."""
        if not name.strip():
            raise ValueError(say(NO_NAME))
        edit = own_movement_added(self.plan.draft, like, name.strip())
        await self._make(edit)
        if isinstance(edit, Insert):
            await self.add_movement(edit.part["slug"])

    async def insert(self, where: DraftPlace, part: object) -> None:
        await self._make(Insert(where, len(value_at(self.plan.draft, where) or ()), part))

    async def move(self, where: DraftPlace, number: int, by: int) -> None:
        plan = self.plan
        if plan.open == (*where, number):
            plan.open = (*where, number + by)
        plan.open_item = None
        await self._make(Move(where, number, by))

    async def remove(self, where: DraftPlace, number: int) -> None:
        plan = self.plan
        if where == ("blocks",):
            plan.open = THE_PLAN
        plan.open_item = None
        await self._make(Remove(where, number))

    async def take_back(self) -> None:
        await self._step(self.plan.history.undone())

    async def write_again(self) -> None:
        await self._step(self.plan.history.redone())

    async def _step(self, history: EditHistory) -> None:
        plan = self.plan
        plan.history = history
        plan.refill_fields()
        if value_at(plan.draft, plan.open) is None:
            plan.open, plan.open_item = THE_PLAN, None
        await self._check(plan)

    async def _make(self, edit: Edit) -> None:
        """Makes an edit from outside the fields, which then show it."""
        plan = self.plan
        plan.history = plan.history.did(edit)
        plan.refill_fields()
        await self._check(plan)

    async def _check(self, plan: PlanOnDesk) -> None:
        plan.check()
        self._context.state.on_change()
        await self.save(plan)
        await self.work_out_figures(plan)

    async def save(self, plan: PlanOnDesk) -> None:
        """Saves the unsaved changes, so that they outlast the window, unless they were put away meanwhile."""
        state, plan_id = self._context.state, plan.id
        if state.read_only:
            return

        async def write() -> None:
            store, held = self._context.store.plans, state.desk.unfinished.get(plan_id)
            if held is not None and held.changed:
                await store.save_draft(SavedDraft(id=plan_id, content=held.draft.content))
            else:
                await store.remove_draft(plan_id)

        await self._context.keeping.keep(f"draft {plan_id}", write)

    async def work_out_figures(self, written: PlanOnDesk) -> None:
        """Works out minutes and balance kit by kit, so that nothing waits for them, until the next edit."""
        draft, plan = written.draft, plan_of(written.draft)
        if plan is None:
            return
        figures = Figures(balance=tuple(balance(plan)))
        for kit in Kit:
            figures = replace(
                figures,
                rows=(*figures.rows, *planned_rows(plan, kit)),
                gives=(*figures.gives, *minutes_give(plan, kit)),
            )
            await asyncio.sleep(0)
            if written.draft is not draft:
                return
        written.figures = figures
        self._context.state.on_change()
