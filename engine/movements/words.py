"""Words for kit, equipment, joints and patterns."""

from __future__ import annotations

from engine.movements.movement import Equipment, Held, Joint, Kit, MovementPattern, Side

KIT_WORDS = {Kit.none: "no dumbbells", Kit.single: "one dumbbell", Kit.pair: "two dumbbells"}

EQUIPMENT_WORDS = {
    Equipment.wall: "a wall",
    Equipment.floor: "room on the floor",
    Equipment.chair: "a chair",
    Equipment.bench: "a bench",
    Equipment.table: "a table",
    Equipment.step: "a step",
    Equipment.towel: "a towel",
    Equipment.band: "a band",
}


def joint_word(joint: Joint, side: Side | None = None) -> str:
    """“left knee”, “low back”."""
    return " ".join(filter(None, (side, joint.replace("_", " "))))


def pain_number(rating: int) -> str:
    """“pain 4 of 10”."""
    return f"pain {rating} of 10"


def at_side(side: Side, weight: Held | None) -> str:
    """Where a weight is that changes hands: “at the left shoulder”, “in the left hand”. A side that is not
    named for its weight is only “left”."""
    if weight is None:
        return side.value
    return f"at the {side} shoulder" if weight is Held.shoulder else f"in the {side} hand"


def pattern_word(pattern: MovementPattern) -> str:
    """“horizontal push”."""
    return pattern.replace("_", " ")
