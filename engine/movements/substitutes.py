"""What can stand in for a movement, nearest first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from engine.base.model import Slug
from engine.movements.movement import (
    Equipment,
    Movement,
    MovementPattern,
    Region,
    StartsWith,
    Variant,
    sides_of,
    trains_pattern_of,
)

VariantsOf = Callable[[Slug], Sequence[Variant]]
"""The variants of a movement that a person can do today, in order of preference."""

USUAL_LEVEL = 3
"""A weight can be light and the body cannot: without a weight a loaded movement counts as no harder than
this. † Our judgement, no source."""
MOST_LEVELS_HARDER = 1
"""How much harder a stand-in may be than what it stands in for. † Our judgement, no source."""
NOT_IN_EVERY_HOME = frozenset({Equipment.bench, Equipment.step, Equipment.band})
"""What a stand-in asks for only where nothing else of its kind will do. † Our judgement, no source."""


OTHER_DIRECTION = {
    MovementPattern.horizontal_push: MovementPattern.vertical_push,
    MovementPattern.vertical_push: MovementPattern.horizontal_push,
    MovementPattern.horizontal_pull: MovementPattern.vertical_pull,
    MovementPattern.vertical_pull: MovementPattern.horizontal_pull,
}
"""The other direction of a push or a pull: a pull stands in for a pull before any push does."""
SAME_REGION = 8
OTHER_REGION = 10
TRUNK_INSTEAD = 16
"""Kinships that are farther than those of one pattern or of one push or pull. See ``_kinship``."""


class Distance(NamedTuple):
    """How far a candidate is from what is planned. The smaller tuple is the nearer."""

    kinship: int = 0
    """See ``_kinship``; 1 is the coach's own easier movement."""
    rare: int = 0
    """Whether it needs something that is not in every home."""
    harder: int = 0
    """By how many levels it is harder; a hold in place of repetitions counts as one level more, because it
    lasts the whole interval. † Our judgement, no source."""
    away: int = 0
    """By how many levels it differs. Being off the chain of easier movements counts as one more, and so does
    a hold in place of repetitions or the other way round."""
    off_chain: int = 0
    """Whether it is off the chain of easier movements."""
    unlike: int = 0
    """In how many joints it differs, with 2 more for another posture and 1 more for other sides."""
    in_library: int = 0
    """Its number among the known movements."""
    among_variants: int = 0
    """The number of its variant in the order of preference."""


AS_PLANNED = Distance()


class Candidate(NamedTuple):
    """A movement in one variant: what is planned, or what may take its place."""

    movement: Movement
    variant: Variant
    distance: Distance = AS_PLANNED

    @property
    def really(self) -> Slug:
        """The movement that this really is, whatever its name."""
        return self.movement.really(self.variant)


def stand_ins(
    planned: Candidate,
    known: Mapping[Slug, Movement],
    variants_of: VariantsOf,
    coachs_easier: Slug | None = None,
) -> tuple[Candidate, ...]:
    """Every variant that can stand in for a movement in its usual variant, nearest first.

    Other variants of the movement itself come first, then the coach's own easier movement, then the same
    pattern, then the other direction of a push or a pull, then the same region, then the trunk. Within each,
    the order is that of ``Distance``.
    """
    chain = {movement.slug for movement in easier_chain(planned.movement, known)}
    found = []
    for index, movement in enumerate(known.values()):
        kinship = 1 if movement.slug == coachs_easier else _kinship(movement, planned.movement)
        for number, variant in enumerate(variants_of(movement.slug) if kinship is not None else ()):
            nearness = _nearness(movement, variant, planned, on_chain=movement.slug in chain)
            if _levels_harder(movement, variant, planned) <= MOST_LEVELS_HARDER:
                distance = nearness._replace(kinship=kinship or 0, in_library=index, among_variants=number)
                found.append(Candidate(movement, variant, distance))
    return tuple(sorted(found, key=lambda candidate: candidate.distance))


def _nearness(movement: Movement, variant: Variant, planned: Candidate, *, on_chain: bool) -> Distance:
    """The part of the distance that depends on the two movements and variants alone."""
    levels = _levels_harder(movement, variant, planned)
    holds_otherwise = _is_hold(movement) is not _is_hold(planned.movement)
    holds_instead = holds_otherwise and _is_hold(movement)
    other_joints = movement.stressed_in(variant) ^ planned.movement.stressed_in(planned.variant)
    return Distance(
        rare=int(not NOT_IN_EVERY_HOME.isdisjoint(variant.needs)),
        harder=max(levels + holds_instead, 0),
        away=abs(levels) + (not on_chain) + holds_otherwise,
        off_chain=int(not on_chain),
        unlike=len(other_joints) + _other_posture(variant, planned.variant),
    )


def _levels_harder(movement: Movement, variant: Variant, planned: Candidate) -> int:
    level = planned.movement.level_of(planned.variant)
    if planned.variant.kit.dumbbells and not variant.kit.dumbbells:
        level = min(level, USUAL_LEVEL)
    return movement.level_of(variant) - level


def _is_hold(movement: Movement) -> bool:
    return movement.starts_with is StartsWith.hold


def _other_posture(variant: Variant, usual: Variant) -> int:
    """Getting down to the floor or up from it counts for more than other sides do."""
    return 2 * (variant.on_floor is not usual.on_floor) + (sides_of(variant) is not sides_of(usual))


def easier_chain(movement: Movement, known: Mapping[Slug, Movement]) -> Iterator[Movement]:
    """The next easier movement, the one easier than that, and so on.

    Ends where a movement has no known easier one, or before one that came already.
    """
    seen = {movement.slug}
    while movement.easier is not None and movement.easier in known and movement.easier not in seen:
        movement = known[movement.easier]
        seen.add(movement.slug)
        yield movement


def _kinship(movement: Movement, planned: Movement) -> int | None:
    """How closely two movements are related; None where one never stands in for the other.

    0 is the movement itself, 2 the same pattern, 3 the same pattern in another region or as an accessory, 4
    the other direction of the same push or pull, then the same region, the same region with an accessory in
    place of a full movement, and last the trunk, whatever is planned. Mobility never mixes with the rest;
    that of another region is of another kind.
    """
    if movement.slug == planned.slug:
        return 0
    if trains_pattern_of(movement, planned):
        if planned.pattern is MovementPattern.mobility and movement.region is not planned.region:
            return OTHER_REGION
        alike = movement.region is planned.region and movement.accessory == planned.accessory
        return 2 if alike else 3
    if MovementPattern.mobility in (movement.pattern, planned.pattern):
        return None
    if movement.pattern is OTHER_DIRECTION.get(planned.pattern):
        return 4
    if movement.region is planned.region:
        return SAME_REGION + (movement.accessory and not planned.accessory)
    return TRUNK_INSTEAD if movement.region is Region.trunk else None
