"""Brings what another device or a backup holds into a store. What is there stays, and nothing doubles."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from engine.base.model import Model
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.profile import Profile
from storage.exchange.backup import Holdings, gather
from storage.exchange.merge import (
    Conflict,
    Keep,
    additions,
    conflicts,
    erased_by,
    every_version,
    ids_in,
    other_person,
    settled,
    under_one_identity,
    without_stones,
)
from storage.models import KitOwned, WeekNote
from storage.store import Store


class BroughtIn(NamedTuple):
    """What a bringing in did.

    ``added`` was new; ``gone`` was erased here too, and ``spared`` would have been; ``stays_erased`` was
    erased here before; the conflicts are still ``open`` or were ``decided`` now.
    """

    added: Holdings = Holdings()
    gone: Holdings = Holdings()
    spared: Holdings = Holdings()
    stays_erased: Holdings = Holdings()
    open: tuple[Conflict, ...] = ()
    decided: tuple[Conflict, ...] = ()


class AnotherPerson(Exception):
    """The things to bring in carry another id: somebody else made them, or the same person elsewhere."""

    def __init__(self, profile: Profile) -> None:
        self.profile = profile
        super().__init__(f"These records were made by {profile.name} on another device.")


async def bring_in(
    store: Store,
    theirs: Holdings,
    *,
    keep: Keep | None = None,
    same_person: bool = False,
    declined: Collection[str] = (),
    erase: bool = True,
) -> BroughtIn:
    """Adds what is new. ``declined`` are the revisions that were decided against before.

    Without ``erase``, what was erased where theirs come from stays here.

    Once a person says that both are the same, their profile has the ids of both.

    Each document is saved in one step; after a crash or a full disk, the same call brings in the rest. Raises
    AnotherPerson where no id is known here, unless ``same_person``, and StorageProblem.
    """
    ours, theirs = await _of_one_person(store, theirs, said=same_person)
    would_go = erased_by(ours, theirs)
    if not erase:
        theirs = without_stones(theirs, would_go)
    added = additions(ours, theirs)
    await _add(store, added)
    here = every_version(ours, added)
    against = [one for one in conflicts(here, theirs) if one.revision not in declined]
    answered = [one for one in against if _is_answered(one, against, keep)]
    for conflict in answered:
        await _save(store, settled(conflict, keep or Keep.ours))
    waiting = tuple(one for one in against if one not in answered)
    return BroughtIn(
        added,
        gone=would_go if erase else Holdings(),
        spared=Holdings() if erase else would_go,
        stays_erased=erased_by(theirs, ours),
        open=waiting,
        decided=tuple(answered),
    )


async def _of_one_person(store: Store, theirs: Holdings, *, said: bool) -> tuple[Holdings, Holdings]:
    """Ours and theirs, both under every id of the person."""
    ours = (await gather(store)).holdings
    other = other_person(ours, theirs)
    if other is not None and not said:
        raise AnotherPerson(other)
    ids = ids_in(ours, theirs)
    known = under_one_identity(ours, ids)
    if known != ours:
        await _save(store, known.profiles)
    return known, under_one_identity(theirs, ids)


def _is_answered(conflict: Conflict, against: Iterable[Conflict], keep: Keep | None) -> bool:
    """Whether ``keep`` decides a conflict: “theirs” does not where several of theirs contradict ours."""
    several = [one for one in against if (one.part, one.key) == (conflict.part, conflict.key)]
    return keep is not None and (keep is not Keep.theirs or len(several) == 1)


async def _add(store: Store, added: Holdings) -> None:
    for stone in added.tombstones:
        await store.sessions.erase(stone.record_id, at=stone.erased_at)
    await _save(store, (*added.profiles, *added.kits, *added.plans, *added.week_notes, *added.adjustments))
    for record in added.records:
        await store.sessions.save(record)
    for amendment in added.amendments:
        await store.sessions.amend(amendment)
    for note in added.pain_notes:
        await store.sessions.save_pain_note(note)


async def _save(store: Store, documents: Iterable[Model]) -> None:
    for document in documents:
        match document:
            case Profile():
                await store.person.save_profile(document)
            case KitOwned():
                await store.person.save_kit(document)
            case SessionPlan():
                await store.plans.save(document)
            case WeekNote():
                await store.person.save_week_note(document)
            case Adjustment():
                await store.person.save_adjustment(document)
