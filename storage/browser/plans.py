"""Plans and drafts of plans, each kind on a shelf of the browser's database."""

from __future__ import annotations

from engine.base.model import revision_of
from engine.plan.plan import SessionPlan
from storage.browser.documents import ShelvedModels, put
from storage.browser.shelves import Remove
from storage.models import Removed, SavedDraft
from storage.rules import by_name


class BrowserPlans:
    """The shelves of plans and drafts."""

    def __init__(self, models: ShelvedModels) -> None:
        self._models = models

    async def all(self) -> tuple[SessionPlan, ...]:
        return by_name(await self._models.all("plans", SessionPlan))

    async def one(self, plan_id: str) -> SessionPlan | None:
        return await self._models.one("plans", SessionPlan, plan_id)

    async def save(self, *plans: SessionPlan) -> None:
        saved = [put("plans", plan.id, plan) for plan in plans]
        await self._models.change(*saved, *(Remove("removed", revision_of(plan)) for plan in plans))

    async def remove(self, plan_id: str) -> None:
        plan = await self.one(plan_id)
        noted = [put("removed", revision_of(plan), Removed(revision=revision_of(plan)))] if plan else []
        await self._models.change(Remove("plans", plan_id), *noted)

    async def drafts(self) -> tuple[SavedDraft, ...]:
        return tuple(await self._models.all("drafts", SavedDraft))

    async def save_draft(self, draft: SavedDraft) -> None:
        await self._models.change(put("drafts", draft.id, draft))

    async def remove_draft(self, draft_id: str) -> None:
        await self._models.change(Remove("drafts", draft_id))
