"""Plans and drafts of plans, each kind in one file of the data folder."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.model import revision_of
from engine.plan.plan import SessionPlan
from storage.folder.data_folder import DataFolder
from storage.models import SavedDraft
from storage.rules import by_name


class FolderPlans:
    """The files plans.json and drafts.json."""

    def __init__(self, folder: DataFolder) -> None:
        self._folder = folder

    async def all(self) -> tuple[SessionPlan, ...]:
        return by_name(self._folder.each("plans", SessionPlan))

    async def one(self, plan_id: str) -> SessionPlan | None:
        return self._folder.one("plans", SessionPlan, plan_id)

    async def save(self, *plans: SessionPlan) -> None:
        self._folder.put_all("plans", {plan.id: plan for plan in plans})
        for plan in plans:
            self._folder.take_back(revision_of(plan))

    async def remove(self, plan_id: str) -> None:
        plan = await self.one(plan_id)
        if plan is not None:
            self._folder.note_removed(revision_of(plan))
        self._folder.remove("plans", plan_id)

    async def replace(self, plans: Iterable[SessionPlan]) -> None:
        """Saves these plans in place of all there are."""
        self._folder.replace("plans", {plan.id: plan for plan in plans})

    async def drafts(self) -> tuple[SavedDraft, ...]:
        return tuple(sorted(self._folder.each("drafts", SavedDraft), key=lambda draft: draft.id))

    async def save_draft(self, draft: SavedDraft) -> None:
        self._folder.put("drafts", draft.id, draft)

    async def remove_draft(self, draft_id: str) -> None:
        self._folder.remove("drafts", draft_id)
