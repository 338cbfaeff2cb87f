"""Easy movements: what may be done on a day on which one joint hurts too much for a strength session."""

from __future__ import annotations

from collections.abc import Mapping

from engine.base.model import Slug
from engine.movements.movement import Joint, Kit, Movement, MovementPattern, Variant, one_sided_joints
from engine.movements.pain import END_FROM
from engine.movements.room import Room

NEIGHBOURS: Mapping[Joint, frozenset[Joint]] = {
    Joint.wrist: frozenset({Joint.elbow}),
    Joint.elbow: frozenset({Joint.wrist, Joint.shoulder}),
    Joint.shoulder: frozenset({Joint.elbow, Joint.neck}),
    Joint.neck: frozenset({Joint.shoulder}),
    Joint.low_back: frozenset({Joint.hip}),
    Joint.hip: frozenset({Joint.low_back, Joint.knee}),
    Joint.knee: frozenset({Joint.hip, Joint.ankle}),
    Joint.ankle: frozenset({Joint.knee}),
}
"""The joints next to each one in the body. † Our judgement, no source."""
MOST_LEVEL = 1
MOST_BALANCE = 1
"""What keeps a movement at effort 4 of 10 or below, and both feet steady. † Our judgement, no source."""


def joints_at_rest(room: Room) -> frozenset[Joint]:
    """The joints that hurt at 6 or more, and their neighbours: no easy movement stresses them."""
    hurting = {one.joint for one in room.sore if one.rating >= END_FROM}
    return frozenset(hurting).union(*(NEIGHBOURS[joint] for joint in hurting))


def easy_movements(known: Mapping[Slug, Movement], room: Room) -> dict[Slug, Movement]:
    """The movements that are easy in a room, by slug, each with none but its easy variants.

    Whatever else the room rules out (its limits, what is left out after pain, other joints that hurt) is not
    among them either.
    """
    resting = joints_at_rest(room)
    found: dict[Slug, Movement] = {}
    for slug, movement in known.items():
        variants = tuple(
            variant for variant in room.variants_of(movement) if _is_easy(movement, variant, resting)
        )
        if variants:
            found[slug] = movement.model_copy(update={"variants": variants})
    return found


def _is_easy(movement: Movement, variant: Variant, resting: frozenset[Joint]) -> bool:
    """Whether a variant moves gently, standing or sitting, without a weight, and leaves some joints alone.

    One side at a time is too much for a joint at rest: the other side would carry the body.
    """
    return (
        movement.pattern is MovementPattern.mobility
        and variant.kit is Kit.none
        and not variant.on_floor
        and not variant.hands_bear
        and movement.level_of(variant) <= MOST_LEVEL
        and movement.balance_of(variant) <= MOST_BALANCE
        and not movement.stressed_in(variant) & resting
        and not one_sided_joints(variant) & resting
    )
