"""How every store keeps plans and drafts."""

from __future__ import annotations

import builders
from recounted import LATER

from engine.plan.draft import PlanDraft, Put, apply, new_draft
from storage.models import SavedDraft
from storage.store import Store


async def test_plans_come_by_name(store: Store) -> None:
    await store.plans.save(builders.plan(id="one", name="Tide"))
    await store.plans.save(builders.plan(id="two", name="Ebb"))
    assert [plan.name for plan in await store.plans.all()] == ["Ebb", "Tide"]


async def test_a_removed_plan_is_gone_and_the_others_stay(store: Store) -> None:
    await store.plans.save(builders.plan(id="one"))
    await store.plans.save(builders.plan(id="two"))
    await store.plans.remove("one")
    await store.plans.remove("one")
    assert [plan.id for plan in await store.plans.all()] == ["two"]
    await store.plans.remove("two")
    assert await store.plans.all() == ()


async def test_a_draft_is_kept_as_it_stands_faults_and_all_until_it_is_taken_away(store: Store) -> None:
    assert await store.plans.drafts() == ()
    other, begun = new_draft("new-plan-2"), new_draft("new-plan")
    half = apply(apply(begun, Put(("name",), "Böathouse")), Put(("transition_s",), "soon"))
    for draft_id, draft in (("new-plan", begun), ("new-plan-2", other), ("new-plan", half)):
        await store.plans.save_draft(SavedDraft(id=draft_id, content=draft.content))
    assert [PlanDraft(one.content) for one in await store.plans.drafts()] == [half, other]
    await store.plans.remove_draft("new-plan-2")
    await store.plans.remove_draft("never-was")
    assert [one.id for one in await store.plans.drafts()] == ["new-plan"]
    await store.erase_all(at=LATER)
    assert await store.plans.drafts() == ()
