"""Kits, rooms, joints, sides, patterns, limits and movements as arguments of messages."""

from __future__ import annotations

from engine.base.message import Argument, Joint, Message, Moves, Own, message
from engine.movements.limits import Limit
from engine.movements.movement import (
    Equipment,
    JointPoint,
    Kit,
    Movement,
    MovementPattern,
    Region,
    Side,
    library,
)


def kit_term(kit: Kit) -> Message:
    return message(f"kit_{kit}")


def equipment_term(equipment: Equipment) -> Message:
    return message(f"equipment_{equipment}")


def pattern_term(pattern: MovementPattern) -> Message:
    return message(f"pattern_{pattern}")


def limit_term(limit: Limit) -> Message:
    """What a limit that bars a version means, as what is done instead."""
    return message(f"limit_{limit}")


def joint_term(point: JointPoint) -> Joint:
    joint, side = point
    return Joint(joint=joint, side=side)


def side_term(side: Side) -> Message:
    return message(f"side_{side}")


def movement_term(movement: Movement) -> Argument:
    """A movement of the library by its slug, another one by the name that its coach gave it."""
    known = library().get(movement.slug)
    return Moves(movement=movement.slug) if known == movement else Own(own=movement.name)


def region_term(region: Region) -> Message:
    return message(f"region_{region}")
