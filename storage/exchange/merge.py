"""Merges what several devices hold. Pure.

A merge is a union: records, amendments and pain notes never change, and the tombstone of an erased one wins.
Where two versions of a kit, a plan or a profile conflict, both stay and the person is asked.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from enum import StrEnum
from typing import Any, NamedTuple

from engine.base.model import Model, canonical_json, revision_of
from engine.load.rack import FixedWeight, Rack
from engine.movements.movement import Kit
from engine.plan.plan import SessionPlan
from engine.record.profile import under_all_ids
from storage.exchange.backup import PARTS, Holdings, in_canonical_order
from storage.models import KitOwned, Tombstone

LONGEST_SLUG = 64
MOST_OF_A_WEIGHT = 20


class Keep(StrEnum):
    """Which of two versions to keep. Without an answer ours stays, and the person is asked again."""

    ours = "ours"
    theirs = "theirs"
    both = "both"


class Conflict(NamedTuple):
    """Two versions of one document, which ``part`` and ``key`` name."""

    part: str
    key: str
    ours: Model
    theirs: Model

    @property
    def revision(self) -> str:
        """The revision of theirs, to remember that the person decided against it."""
        return revision_of(self.theirs)


WHAT_HAPPENED = ("records", "amendments", "pain_notes")
"""The parts whose documents never change."""


def union(*several: Holdings) -> Holdings:
    """Every version of every document once, without what was erased, and each record's earliest tombstone.

    Neither the order of the holdings nor repetitions matter.
    """
    stones: dict[str, Tombstone] = {}
    for stone in (stone for one in several for stone in one.tombstones):
        held = stones.setdefault(stone.record_id, stone)
        stones[stone.record_id] = min(held, stone, key=lambda one: (one.erased_at, canonical_json(one)))
    found = every_version(*several)
    return in_canonical_order(
        found._replace(
            records=tuple(one for one in found.records if one.id not in stones),
            amendments=tuple(one for one in found.amendments if one.record_id not in stones),
            tombstones=tuple(stones.values()),
            pain_notes=tuple(one for one in found.pain_notes if one.id not in stones),
        )
    )


def erased_by(ours: Holdings, theirs: Holdings) -> Holdings:
    """The records and pain notes of ours that were erased where theirs come from."""
    stones = {stone.record_id for stone in theirs.tombstones}
    return Holdings(
        records=tuple(one for one in ours.records if one.id in stones),
        pain_notes=tuple(one for one in ours.pain_notes if one.id in stones),
    )


def without_stones(holdings: Holdings, spared: Holdings) -> Holdings:
    """Holdings without the tombstones that would erase what is spared."""
    ids = {one.id for one in spared.records} | {one.id for one in spared.pain_notes}
    return holdings._replace(
        tombstones=tuple(stone for stone in holdings.tombstones if stone.record_id not in ids)
    )


def without_revisions(holdings: Holdings, removed: Collection[str]) -> Holdings:
    """Holdings without these versions of plans and adjustments."""
    return holdings._replace(
        plans=tuple(one for one in holdings.plans if revision_of(one) not in removed),
        adjustments=tuple(one for one in holdings.adjustments if revision_of(one) not in removed),
    )


def every_version(*several: Holdings) -> Holdings:
    """All documents of several holdings, each version once."""
    parts: Iterable[Any] = (
        tuple({canonical_json(document): document for part in parts for document in part}.values())
        for parts in zip(*several, strict=True)
    )
    return Holdings(*parts)


def conflicts(ours: Holdings, theirs: Holdings) -> tuple[Conflict, ...]:
    """Every version of theirs that conflicts with ours, in canonical order."""
    return tuple(_conflicts(ours, theirs))


def _conflicts(ours: Holdings, theirs: Holdings) -> Iterable[Conflict]:
    stones = {stone.record_id for stone in (*ours.tombstones, *theirs.tombstones)}
    for name, (_, key) in PARTS.items():
        if name == "tombstones":
            continue
        held = {key(one): one for one in getattr(ours, name)}
        for one in getattr(theirs, name):
            mine = held.get(key(one), one)
            if mine != one and getattr(one, "record_id", key(one)) not in stones:
                yield Conflict(name, key(one), mine, one)


def additions(ours: Holdings, theirs: Holdings) -> Holdings:
    """What they have and we lack. Of several versions of a document the first in canonical order is taken."""
    everything = union(ours, theirs)
    parts: list[Any] = []
    for name, (_, key) in PARTS.items():
        held = {key(one) for one in getattr(ours, name)}
        fresh = {key(one): one for one in reversed(getattr(everything, name)) if key(one) not in held}
        parts.append(tuple(fresh.values()))
    return in_canonical_order(Holdings(*parts))


def settled(conflict: Conflict, keep: Keep) -> tuple[Model, ...]:
    """What must be saved to settle a conflict. What tells what happened stays ours."""
    if keep is Keep.ours or conflict.part in WHAT_HAPPENED:
        return ()
    ours, theirs = conflict.ours, conflict.theirs
    if keep is Keep.theirs:
        return (theirs,)
    if isinstance(ours, KitOwned) and isinstance(theirs, KitOwned):
        return (both_kits(ours, theirs),)
    if isinstance(theirs, SessionPlan):
        return (under_another_id(theirs),)
    return ()  # Two profiles, or two notes on a week, cannot be kept side by side.


def under_another_id(plan: SessionPlan) -> SessionPlan:
    """The plan under an id made from its content, so that both plans with its own id can be kept."""
    revision = revision_of(plan)
    return plan.model_copy(
        update={"id": f"{plan.id[: LONGEST_SLUG - 1 - len(revision)].rstrip('-')}-{revision}"}
    )


def both_kits(one: KitOwned, other: KitOwned) -> KitOwned:
    """The weights of both kits, each as often as the kit with more of it has it; absent is what both lack."""
    counts: dict[int, int] = {}
    for kit in (one, other):
        own: dict[int, int] = {}
        for weight in kit.rack.fixed:
            own[weight.load_g] = own.get(weight.load_g, 0) + weight.count
        for load_g, count in own.items():
            counts[load_g] = max(counts.get(load_g, 0), min(count, MOST_OF_A_WEIGHT))
    bells = {canonical_json(bell): bell for kit in (one, other) for bell in kit.rack.adjustable}
    return KitOwned(
        dumbbells=max(one.dumbbells, other.dumbbells, key=list(Kit).index),
        rack=Rack(
            fixed=tuple(FixedWeight(load_g=load_g, count=counts[load_g]) for load_g in sorted(counts)),
            adjustable=tuple(bells[key] for key in sorted(bells)),
        ),
        absent=tuple(sorted(set(one.absent) & set(other.absent))),
    )


class Stranger(NamedTuple):
    """Whose holdings are that may be somebody else's; the name is empty where they do not tell it."""

    name: str
    ids: frozenset[str]


def ids_in(*several: Holdings) -> frozenset[str]:
    """Every id of the people that holdings name, by profile, or else by what they recorded."""
    return frozenset(one for holdings in several for one in _ids_in(holdings))


def _ids_in(holdings: Holdings) -> Iterable[str]:
    if holdings.profiles:
        return (one for profile in holdings.profiles for one in profile.ids)
    return [*(one.trainee_id for one in holdings.records), *(one.trainee_id for one in holdings.pain_notes)]


def other_person(ours: Holdings, theirs: Holdings) -> Stranger | None:
    """The person of theirs, where ours belong to somebody else."""
    known, coming = ids_in(ours), ids_in(theirs)
    if not (ours.profiles and coming) or not known.isdisjoint(coming):
        return None
    return Stranger(next((one.name for one in theirs.profiles), ""), coming)


def under_one_identity(holdings: Holdings, ids: Collection[str]) -> Holdings:
    """Holdings of one person, who has these ids. Records keep the id under which they were made."""
    profiles = {under_all_ids(profile, ids) for profile in holdings.profiles}
    return holdings._replace(profiles=tuple(sorted(profiles, key=canonical_json)))


def as_on_this_device(theirs: Holdings, ours: Holdings) -> Holdings:
    """Theirs with our zone and our reading of the cautions, which differ between devices by themselves."""
    if not ours.profiles:
        return theirs
    (mine,) = ours.profiles
    here = {"zone": mine.zone, "cautions_read_at": mine.cautions_read_at}
    return theirs._replace(profiles=tuple({one.model_copy(update=here) for one in theirs.profiles}))


def ids_of_one_person(ours: Holdings, others: Sequence[Holdings]) -> frozenset[str]:
    """Every id of the person of ours, or of the first one named where ours name nobody.

    One of the others may tell that two ids are one person's, and so make another one theirs too.
    """
    known = frozenset[str]()
    more = ids_in(ours) or next(filter(None, map(ids_in, others)), known)
    while more - known:
        known |= more
        more = ids_in(*(one for one in others if not known.isdisjoint(ids_in(one))))
    return known
