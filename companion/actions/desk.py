"""The coach's desk: a plan is written, checked at once, kept and handed over."""

from __future__ import annotations

import asyncio
from dataclasses import replace

from companion.actions.plans import Planning
from companion.state.app import Screen, Undo
from companion.state.desk import THE_PLAN, Desk, Figures, desk_of
from engine.fit.minutes_table import minutes_give, planned_rows
from engine.movements.movement import Kit
from engine.plan.balance import balance_sentences
from engine.plan.draft import (
    DraftPlace,
    Edit,
    Edits,
    Insert,
    Move,
    Put,
    Remove,
    apply,
    at,
    new_draft,
    plan_of,
)
from engine.plan.draft_parts import (
    allowance_added,
    block_added,
    free_name,
    movement_added,
    own_movement_added,
    slug_of,
)
from engine.plan.link import base_address_fault
from engine.plan.plan import SessionPlan
from storage.models import KeptDraft

TYPING_S = 0.2
"""Letters that come faster are looked at together."""
NO_NAME = "Write the name of the new movement."


class Writing(Planning):
    async def write_plan(self, plan: SessionPlan | None = None) -> None:
        """Puts a plan on the desk: one from nothing, or a kept one as far as it is changed already."""
        held = self.state.desks.get(plan.id) if plan else None
        await self.go_on_writing(held or (desk_of(plan) if plan else self._new_desk()))

    def _new_desk(self) -> Desk:
        """Under an id that is free, until the plan has a name."""
        draft = new_draft(free_name("new-plan", self._ids_taken()))
        return Desk(Edits(draft), kept=draft, is_new=True)

    def _ids_taken(self) -> set[str]:
        return {*(plan.id for plan in self.state.plans), *self.state.desks}

    async def go_on_writing(self, desk: Desk) -> None:
        self.state.desk = self.state.desks[desk.id] = desk
        self._show(Screen.desk)
        await self._reckon(desk)

    def _desk(self) -> Desk:
        if self.state.desk is None:
            raise LookupError("Nothing is on the desk.")
        return self.state.desk

    def open_part(self, where: DraftPlace, item: int | None = None) -> None:
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
        added = block_added(desk.draft, kind)
        desk.open, desk.open_item, desk.searched = (*added.where, added.at), None, ""
        await self._replace(added)

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

    async def insert(self, where: DraftPlace, part: object) -> None:
        await self._replace(Insert(where, len(at(self._desk().draft, where) or ()), part))

    async def move(self, where: DraftPlace, number: int, by: int) -> None:
        desk = self._desk()
        if desk.open == (*where, number):
            desk.open = (*where, number + by)
        desk.open_item = None
        await self._replace(Move(where, number, by))

    async def remove(self, where: DraftPlace, number: int) -> None:
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

    async def _moved_in_time(self, desk: Desk, history: Edits) -> None:
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
        self.state.on_change()
        await self._save(desk)
        await self._reckon(desk)

    async def _save(self, desk: Desk) -> None:
        """What is written outlasts the window, the battery and the browser, unless it was put away since."""
        if self.state.read_only or self.state.desks.get(desk.id) is not desk:
            return
        if desk.changed:
            await self.store.plans.save_draft(KeptDraft(id=desk.id, content=desk.draft.content))
        else:
            await self.store.plans.remove_draft(desk.id)

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
        desk, plan = self._desk(), self.written_plan()
        if plan is None:
            return
        await self.keep_plan(plan)
        await self.store.plans.remove_draft(desk.id)
        self._put_away()
        if self.state.undo is not None:
            self.state.undo = self._with_desk(desk, self.state.undo)
        self.state.on_change()

    def _with_desk(self, desk: Desk, done: Undo) -> Undo:
        """The way back, and what was written with it."""

        async def back() -> None:
            await done.back()
            self.state.desks[desk.id] = desk
            await self._save(desk)

        return replace(done, back=back)

    def _put_away(self) -> None:
        self.state.desks.pop(self._desk().id)
        self.state.desk = None

    async def leave_desk(self) -> None:
        """What is written and not kept stays among what can be gone on with."""
        desk = self._desk()
        if not desk.changed:
            self._put_away()
        self._show(Screen.plans)
        await self._save(desk)

    async def clear_desk(self) -> None:
        """Puts away what is written; it can be brought back."""
        desk = self._desk()
        await self.store.plans.remove_draft(desk.id)
        self._put_away()
        self._show(Screen.plans, undo=self._with_desk(desk, Undo(f"{desk.name} is put away.", _nothing)))

    def written_plan(self) -> SessionPlan | None:
        """As it would be kept; None while it has faults."""
        desk = self._desk()
        if not desk.is_new:
            return plan_of(desk.draft)
        plan_id = free_name(slug_of(desk.name), self._ids_taken() - {desk.id})
        return plan_of(apply(desk.draft, Put(("id",), plan_id)))

    async def save_sheet(self) -> None:
        from companion.paper.sheet import sheet_html  # most windows print nothing

        plan = self.written_plan()
        if plan is not None:
            html = sheet_html(plan, base_address=self.state.settings.base_address or None)
            await self.files.save(f"{plan.id}.html", html.encode())

    async def save_qr(self, link_written: str) -> None:
        from companion.paper.qr import qr_file

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
        await self.store.person.save_settings(self.state.settings)
        self.state.on_change()


async def _nothing() -> None:
    """Nothing else has to be taken back."""
