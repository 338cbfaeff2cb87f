"""Brings what another device or a backup holds into a store. What is there stays, and nothing doubles."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import NamedTuple

from engine.base.message import Message, message
from engine.base.model import Model
from engine.base.periods import month_of
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.profile import Profile
from storage.exchange.backup import Holdings, gather, in_canonical_order
from storage.exchange.merge import (
    Conflict,
    Keep,
    Stranger,
    additions,
    as_on_this_device,
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
from storage.problem import named
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

    def __init__(self, stranger: Stranger) -> None:
        self.stranger = stranger
        super().__init__("another person")

    @property
    def what(self) -> Message:
        """What is said of it."""
        if self.stranger.name:
            return message("made_by_on_another_device", name=named(self.stranger.name))
        return message("made_on_another_device")


async def bring_in(
    store: Store,
    theirs: Holdings,
    *,
    keep: Keep | None = None,
    answers: Mapping[str, Keep] | None = None,
    same_person: bool = False,
    declined: Collection[str] = (),
    erase: bool = True,
) -> BroughtIn:
    """Adds what is new. ``declined`` are the revisions that were decided against before.

    ``answers`` decide single conflicts by the revision of theirs, ``keep`` decides the others. Without
    ``erase``, what was erased where theirs come from stays here. Once a person says that both are the same,
    their profile has the ids of both.

    Each document is saved in one step; after a crash or a full disk, the same call brings in the rest. Raises
    AnotherPerson where no id is known here, unless ``same_person``, and StorageProblem.
    """
    await store.settle()  # what is here already counts as saved
    ours, theirs = await _of_one_person(store, theirs, said=same_person)
    would_go = erased_by(ours, theirs)
    if not erase:
        theirs = without_stones(theirs, would_go)
    added = additions(ours, theirs)
    await _add(store, added)
    here = every_version(ours, added)
    against = [one for one in conflicts(here, theirs) if one.revision not in declined]
    kept = [_answer(one, against, keep, answers or {}) for one in against]
    for conflict, way in zip(against, kept, strict=True):
        await _save(store, settled(conflict, way or Keep.ours))
    return BroughtIn(
        added,
        gone=would_go if erase else Holdings(),
        spared=Holdings() if erase else would_go,
        stays_erased=erased_by(theirs, ours),
        open=tuple(one for one, way in zip(against, kept, strict=True) if way is None),
        decided=tuple(one for one, way in zip(against, kept, strict=True) if way is not None),
    )


async def _of_one_person(store: Store, theirs: Holdings, *, said: bool) -> tuple[Holdings, Holdings]:
    """Ours and theirs, both under every id of the person."""
    ours = await _beside(store, theirs)
    other = other_person(ours, theirs)
    if other is not None and not said:
        raise AnotherPerson(other)
    ids = ids_in(ours, theirs)
    known = under_one_identity(ours, ids)
    if known != ours:
        await _save(store, known.profiles)
    return known, as_on_this_device(under_one_identity(theirs, ids), known)


async def _beside(store: Store, theirs: Holdings) -> Holdings:
    """What the store holds, of the sessions only those that theirs could meet: years need not be read."""
    ours = (await gather(store, months={month_of(one.local_date) for one in theirs.records})).holdings
    here = {one.id for one in ours.records} | {stone.record_id for stone in ours.tombstones}
    named = {one.id for one in theirs.records} | {stone.record_id for stone in theirs.tombstones}
    records, amendments = list(ours.records), list(ours.amendments)
    for record_id in sorted(named - here):
        record = await store.sessions.record(record_id)
        if record is not None:
            records.append(record)
            amendments += await store.sessions.amendments(record_id)
    return in_canonical_order(ours._replace(records=tuple(records), amendments=tuple(amendments)))


def _answer(
    conflict: Conflict, against: Iterable[Conflict], keep: Keep | None, answers: Mapping[str, Keep]
) -> Keep | None:
    """What decides a conflict: “theirs” for all does not where several of theirs contradict ours."""
    several = [one for one in against if (one.part, one.key) == (conflict.part, conflict.key)]
    for_all = None if keep is Keep.theirs and len(several) > 1 else keep
    return answers.get(conflict.revision, for_all)


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
