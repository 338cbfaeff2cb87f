"""Plans and drafts of plans, each kind in one file of the data folder."""

from __future__ import annotations

from collections.abc import Iterable

from engine.plan.plan import SessionPlan
from storage.folder.data_folder import DataFolder, understood
from storage.models import KeptDraft


class FolderPlans:
    """The files plans.json and drafts.json."""

    def __init__(self, folder: DataFolder) -> None:
        self._folder = folder

    async def all(self) -> tuple[SessionPlan, ...]:
        held = self._folder.each("plans", SessionPlan)
        return tuple(sorted(held, key=lambda plan: (plan.name, plan.id)))

    async def one(self, plan_id: str) -> SessionPlan | None:
        with understood("plans"):
            held = self._folder.file("plans").held("plans", plan_id)
            return None if held is None else SessionPlan.model_validate(held)

    async def save(self, plan: SessionPlan) -> None:
        self._folder.need_ownership()
        self._folder.file("plans").put("plans", plan.id, plan.model_dump(mode="json"))

    async def remove(self, plan_id: str) -> None:
        self._folder.remove("plans", plan_id)

    async def replace(self, plans: Iterable[SessionPlan]) -> None:
        """Saves these plans in the place of all there are."""
        self._folder.need_ownership()
        held = {plan.id: plan.model_dump(mode="json") for plan in plans}
        self._folder.file("plans").storage.write({"plans": held})

    async def drafts(self) -> tuple[KeptDraft, ...]:
        return tuple(sorted(self._folder.each("drafts", KeptDraft), key=lambda draft: draft.id))

    async def save_draft(self, draft: KeptDraft) -> None:
        self._folder.need_ownership()
        self._folder.file("drafts").put("drafts", draft.id, draft.model_dump(mode="json"))

    async def remove_draft(self, draft_id: str) -> None:
        self._folder.remove("drafts", draft_id)
