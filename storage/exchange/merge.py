"""Bringing together what several devices hold. Pure.

A merge is a union: records and amendments never change, and the tombstone of an erased record wins. Where two
versions of a kit, a plan or a profile stand against each other both stay, and the person is asked.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Any, NamedTuple

from engine.base.model import Model, canonical_json, revision_of
from engine.load.rack import FixedWeight, Rack
from engine.movements.movement import Kit
from engine.plan.plan import SessionPlan
from engine.record.profile import Profile
from storage.exchange.backup import KINDS, Holdings, in_canonical_order
from storage.models import KitOwned, Tombstone

LONGEST_SLUG = 64
MOST_OF_A_WEIGHT = 20


class Keep(StrEnum):
    """What becomes of two versions; without an answer ours stays, and it is asked again."""

    ours = "ours"
    theirs = "theirs"
    both = "both"


class Conflict(NamedTuple):
    """Two versions of one thing: ``part`` and ``key`` name it."""

    part: str
    key: str
    ours: Model
    theirs: Model

    @property
    def revision(self) -> str:
        """Names theirs, to remember that it was decided against."""
        return revision_of(self.theirs)


def union(*several: Holdings) -> Holdings:
    """Every version of everything, each once, without what was erased; of several tombstones of a record the
    earliest. Order and repetition do not matter."""
    stones: dict[str, Tombstone] = {}
    for stone in (stone for one in several for stone in one.tombstones):
        held = stones.setdefault(stone.record_id, stone)
        stones[stone.record_id] = min(held, stone, key=lambda one: (one.erased_at, canonical_json(one)))
    found = together(*several)
    return in_canonical_order(
        found._replace(
            records=tuple(one for one in found.records if one.id not in stones),
            amendments=tuple(one for one in found.amendments if one.record_id not in stones),
            tombstones=tuple(stones.values()),
        )
    )


def together(*several: Holdings) -> Holdings:
    """Every document of every part, the same one once."""
    parts: Iterable[Any] = (
        tuple({canonical_json(document): document for part in parts for document in part}.values())
        for parts in zip(*several, strict=True)
    )
    return Holdings(*parts)


def conflicts(ours: Holdings, theirs: Holdings) -> tuple[Conflict, ...]:
    """Every version of theirs that stands against ours, in canonical order."""
    return tuple(_conflicts(ours, theirs))


def _conflicts(ours: Holdings, theirs: Holdings) -> Iterable[Conflict]:
    stones = {stone.record_id for stone in (*ours.tombstones, *theirs.tombstones)}
    for name, (_, key) in KINDS.items():
        if name == "tombstones":
            continue
        held = {key(one): one for one in getattr(ours, name)}
        for one in getattr(theirs, name):
            mine = held.get(key(one), one)
            if mine != one and getattr(one, "record_id", key(one)) not in stones:
                yield Conflict(name, key(one), mine, one)


def additions(ours: Holdings, theirs: Holdings) -> Holdings:
    """What they have and we have not, of which there is only one version to take."""
    all_there_is = union(ours, theirs)
    parts: list[Any] = []
    for name, (_, key) in KINDS.items():
        held = {key(one) for one in getattr(ours, name)}
        fresh = {key(one): one for one in reversed(getattr(all_there_is, name)) if key(one) not in held}
        parts.append(tuple(fresh.values()))
    return in_canonical_order(Holdings(*parts))


def settled(conflict: Conflict, keep: Keep) -> tuple[Model, ...]:
    """What has to be saved so that a conflict is decided. A record or an amendment stays ours: it is what
    really happened here."""
    if keep is Keep.ours or conflict.part in ("records", "amendments"):
        return ()
    ours, theirs = conflict.ours, conflict.theirs
    if keep is Keep.theirs:
        return (theirs,)
    if isinstance(ours, KitOwned) and isinstance(theirs, KitOwned):
        return (both_kits(ours, theirs),)
    if isinstance(theirs, SessionPlan):
        return (beside(theirs),)
    return ()  # Two of a profile, or of what was said about a week, cannot stand side by side.


def beside(plan: SessionPlan) -> SessionPlan:
    """The plan under an id that its content names, so that it can stand beside the one with its own id."""
    revision = revision_of(plan)
    return plan.model_copy(
        update={"id": f"{plan.id[: LONGEST_SLUG - 1 - len(revision)].rstrip('-')}-{revision}"}
    )


def both_kits(one: KitOwned, other: KitOwned) -> KitOwned:
    """What can be had in either place: every weight of both, each as often as there are most of it."""
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


def of_another_person(ours: Holdings, theirs: Holdings) -> Profile | None:
    """Whose they are, where they name another person than ours."""
    known = {profile.trainee_id for profile in ours.profiles}
    return next((one for one in theirs.profiles if known and one.trainee_id not in known), None)
