"""Words for joints, equipment and kit."""

from __future__ import annotations

from engine.movements.movement import (
    Equipment,
    Joint,
    Kit,
    Side,
)

KIT_WORDS = {Kit.none: "no dumbbells", Kit.single: "one dumbbell", Kit.pair: "two dumbbells"}


def joint_word(joint: Joint, side: Side | None = None) -> str:
    """“left knee”, “low back”."""
    return " ".join(filter(None, (side, joint.replace("_", " "))))


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
