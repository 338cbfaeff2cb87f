"""The coach's desk: a plan is written, checked at once, kept and handed over."""

from __future__ import annotations

import asyncio
from dataclasses import replace

from companion.actions.planning import Planning
from companion.desk import THE_PLAN, Desk, Figures
from companion.state import Screen, Undo
from engine.balance import balance_sentences
from engine.draft import (
    Draft,
    Edit,
    History,
    Insert,
    Move,
    Place,
    Put,
    Remove,
    apply,
    at,
    draft_of,
    new_draft,
    plan_of,
)
from engine.draft_parts import allowance_added, block_added, movement_added, own_movement_added, slug_of
from engine.links import base_address_fault
from engine.minutes_table import minutes_give, planned_rows
from engine.movement import Kit
from engine.plan import SessionPlan

TYPING_S = 0.2
"""Letters that come faster are looked at together."""
NO_NAME = "Write the name of the new movement."


class Writing(Planning):
    async def write_plan(self, plan: SessionPlan | None = None) -> None:
        """Puts a plan on the desk: a kept one, or None for one from nothing.

        What was written there and not kept can be brought back.
        """
        before = self.state.desk
        draft = new_draft("new-plan") if plan is None else draft_of(plan)
        self.state.desk = Desk(History(draft), kept=draft, is_new=plan is None)
        self._show(Screen.desk, undo=self._put_away(before))
        await self._reckon(self.state.desk)

    def _put_away(self, before: Desk | None) -> Undo | None:
        if before is None or not before.changed:
            return None

        async def back() -> None:
            self.state.desk = before

        return Undo(f"{before.name} is put away; it was not kept.", back)

    async def show_desk(self) -> None:
        self._show(Screen.desk)
        await self._reckon(self._desk())

    def _desk(self) -> Desk:
        if self.state.desk is None:
            raise LookupError("Nothing is on the desk.")
        return self.state.desk

    def open_part(self, where: Place, item: int | None = None) -> None:
        desk = self._desk()
        desk.open, desk.open_item, desk.searched = where, item, ""
        self.state.on_change()

    def unfold(self, item: int) -> None:
        desk = self._desk()
        desk.open_item = None if desk.open_item == item else item
        self.state.on_change()

    def search_movement(self, written: str) -> None:
        self._desk().searched = written
        self.state.on_change()

    def mind_field(self, inside: bool) -> None:
        """Inside a field the keys that take back belong to the field."""
        if self.state.desk is not None:  # a field is left when the desk is left, too
            self.state.desk.in_field = inside

    # Edits

    async def write(self, edit: Edit) -> None:
        """One edit; faults and figures follow as soon as the writing pauses."""
        desk = self._desk()
        desk.history = desk.history.did(edit)
        mine = desk.draft
        if isinstance(edit, Put) and isinstance(edit.value, str):
            await asyncio.sleep(TYPING_S)
        if desk.draft is mine:
            await self._looked_at(desk)

    async def add_block(self, kind: str) -> None:
        desk = self._desk()
        desk.open = ("blocks", len(at(desk.draft, ("blocks",)) or ()))
        desk.open_item, desk.searched = None, ""
        await self._replace(block_added(desk.draft, kind))

    async def add_movement(self, slug: str) -> None:
        desk = self._desk()
        match desk.open:
            case ("blocks", int(block)):
                await self._replace(movement_added(desk.draft, block, slug))

    async def add_allowance(self, give_up: str) -> None:
        await self._replace(allowance_added(self._desk().draft, give_up))

    async def add_own_movement(self, like: str, name: str) -> None:
        """A movement of the plan's own, in the open block too. Raises ValueError with one sentence."""
        if not name.strip():
            raise ValueError(NO_NAME)
        desk = self._desk()
        edit = own_movement_added(desk.draft, like, name.strip())
        await self._replace(edit)
        if isinstance(edit, Insert):
            await self.add_movement(edit.part["slug"])

    async def insert(self, where: Place, part: object) -> None:
        await self._replace(Insert(where, len(at(self._desk().draft, where) or ()), part))

    async def move(self, where: Place, number: int, by: int) -> None:
        desk = self._desk()
        if desk.open == (*where, number):
            desk.open = (*where, number + by)
        desk.open_item = None
        await self._replace(Move(where, number, by))

    async def remove(self, where: Place, number: int) -> None:
        desk = self._desk()
        if where == ("blocks",):
            desk.open = THE_PLAN
        desk.open_item = None
        await self._replace(Remove(where, number))

    async def take_back(self) -> None:
        desk = self._desk()
        await self._moved_in_time(desk, desk.history.undone())

    async def write_again(self) -> None:
        desk = self._desk()
        await self._moved_in_time(desk, desk.history.redone())

    async def _moved_in_time(self, desk: Desk, history: History) -> None:
        desk.history = history
        desk.show_anew()
        if at(desk.draft, desk.open) is None:
            desk.open, desk.open_item = THE_PLAN, None
        await self._looked_at(desk)

    async def _replace(self, edit: Edit) -> None:
        desk = self._desk()
        desk.history = desk.history.did(edit)
        desk.show_anew()
        await self._looked_at(desk)

    async def _looked_at(self, desk: Desk) -> None:
        desk.check()
        self.state.undo = None  # what was put away is another matter by now
        self.state.on_change()
        await self._reckon(desk)

    async def _reckon(self, desk: Desk) -> None:
        """The figures, kit by kit, so that nothing waits for them; given up once something else is done."""
        draft, plan = desk.draft, plan_of(desk.draft)
        if plan is None:
            return
        figures = Figures(balance=tuple(balance_sentences(plan)))
        for kit in Kit:
            figures = replace(
                figures,
                rows=(*figures.rows, *planned_rows(plan, kit)),
                gives=(*figures.gives, *minutes_give(plan, kit)),
            )
            await asyncio.sleep(0)
            if desk.draft is not draft:
                return
        desk.figures = figures
        self.state.on_change()

    # Keeping and handing over

    async def keep_written(self) -> None:
        """Keeps the plan among the plans; a new one is named after its name."""
        desk = self._desk()
        plan = plan_of(self._with_id(desk))
        if plan is None:
            return
        self.state.desk = None
        await self.keep_plan(plan)

    def _with_id(self, desk: Desk) -> Draft:
        if not desk.is_new:
            return desk.draft
        wanted, taken = slug_of(desk.name), {plan.id for plan in self.state.plans}
        number, plan_id = 1, wanted
        while plan_id in taken:
            number += 1
            plan_id = f"{wanted}-{number}"
        return apply(desk.draft, Put(("id",), plan_id))

    def leave_desk(self) -> None:
        """What is written and not kept stays on the desk."""
        desk = self.state.desk
        if desk is not None and not desk.changed:
            self.state.desk = None
        self._show(Screen.plans)

    def clear_desk(self) -> None:
        """Puts away what is written; it can be brought back."""
        before, self.state.desk = self.state.desk, None
        self._show(Screen.plans, undo=self._put_away(before))

    def written_plan(self) -> SessionPlan | None:
        desk = self._desk()
        return plan_of(self._with_id(desk))

    async def save_sheet(self) -> None:
        from companion.sheet import sheet_html  # most windows print nothing

        plan = self.written_plan()
        if plan is not None:
            html = sheet_html(plan, base_address=self.state.settings.base_address or None)
            await self.files.save(f"{plan.id}.html", html.encode())

    async def save_qr(self, link_written: str) -> None:
        from companion.qr import qr_file

        drawn = qr_file(link_written)
        if drawn is not None:
            await self.files.save("plan-link.svg", drawn)

    async def copy_link(self, link_written: str) -> None:
        await self.files.copy(link_written)

    async def set_base_address(self, written: str) -> None:
        """Where links lead; empty for none. Raises ValueError with one sentence."""
        address = written.strip()
        fault = base_address_fault(address) if address else None
        if fault is not None:
            raise ValueError(fault)
        await self._keep_address(address)

    async def _keep_address(self, address: str) -> None:
        self.state.settings = self.state.settings.model_copy(update={"base_address": address})
        await self.store.save_settings(self.state.settings)
        self.state.on_change()
