"""Handing a plan over: a file, a sheet, a link and its QR code."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.desk.edits import DeskEdits
from companion.actions.home.plans import Plans
from engine.base.issue import WrongValue
from engine.plan.draft import Put, apply, plan_of
from engine.plan.draft_parts import free_name, slug_of
from engine.plan.link import base_address_fault
from engine.plan.plan import SessionPlan


class HandOver:
    def __init__(self, context: Context, edit: DeskEdits, plans: Plans) -> None:
        self._context, self._edit = context, edit
        self.export = plans.export

    def written_plan(self) -> SessionPlan | None:
        """The plan as it would be saved; None while it has faults."""
        plan = self._edit.plan
        if not plan.is_new:
            return plan_of(plan.draft)
        plan_id = free_name(slug_of(plan.name), self.taken_ids() - {plan.id})
        return plan_of(apply(plan.draft, Put(("id",), plan_id)))

    def taken_ids(self) -> set[str]:
        """The ids of saved plans and of those being written."""
        state = self._context.state
        return {*(plan.id for plan in state.plans.all), *state.desk.unfinished}

    async def save_sheet(self) -> None:
        """Saves the plan as a sheet to print."""
        from companion.paper.sheet import sheet_html  # most windows print nothing

        plan = self.written_plan()
        if plan is not None:
            html = sheet_html(plan, base_address=self._context.state.device.settings.base_address or None)
            await self._context.files.save(f"{plan.id}.html", html.encode())

    async def save_qr(self, link_written: str) -> None:
        from companion.paper.qr import qr_file  # most windows draw no code

        drawn = qr_file(link_written)
        if drawn is not None:
            await self._context.files.save("plan-link.svg", drawn)

    async def copy_link(self, link_written: str) -> None:
        await self._context.files.copy(link_written)

    async def set_base_address(self, written: str) -> None:
        """Sets where links lead; an empty address takes it away. Raises WrongValue."""
        address = written.strip()
        fault = base_address_fault(address) if address else None
        if fault is not None:
            raise WrongValue(fault)
        device = self._context.state.device
        device.settings = device.settings.model_copy(update={"base_address": address})
        await self._context.keep_settings()
        self._context.state.on_change()
