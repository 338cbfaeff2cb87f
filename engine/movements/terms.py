"""Kits, loads, rooms, joints, sides, patterns, limits and movements as arguments of messages."""

from __future__ import annotations

from engine.base.message import Argument, Joint, Message, Moves, Own, Version, Weight, message
from engine.movements.limits import Limit
from engine.movements.movement import (
    Equipment,
    Held,
    JointPoint,
    Kit,
    Movement,
    MovementPattern,
    Region,
    Side,
    Variant,
    library,
)
from engine.movements.pain import PainKind, PainQuality


def kit_term(kit: Kit) -> Message:
    return message(f"kit_{kit}")


def load_term(load_g: int, kit: Kit) -> Argument:
    """“10 kg”, of a pair “10 kg each”; 0 is no weight."""
    if not load_g:
        return message("no_weight")
    weight = Weight(grams=load_g)
    return message("weight_each", weight=weight) if kit is Kit.pair else weight


def side_worked(side: Side, weight: Held | None) -> Message:
    """A side by what works there, or by where the weight is that changes hands."""
    if weight is None:
        return message(f"at_side_{side}")
    return message(f"at_shoulder_{side}" if weight is Held.shoulder else f"at_hand_{side}")


def equipment_term(equipment: Equipment) -> Message:
    return message(f"equipment_{equipment}")


def missing_kit(needed: Kit) -> Message:
    """That there are not as many dumbbells as one or two."""
    return message(f"missing_{needed}")


def missing_equipment(needed: Equipment) -> Message:
    return message(f"missing_{needed}")


def pattern_title(pattern: MovementPattern) -> Message:
    """A pattern as the name of what is listed under it."""
    return message(f"title_{pattern}")


def pattern_term(pattern: MovementPattern) -> Message:
    return message(f"pattern_{pattern}")


def every_term(pattern: MovementPattern) -> Message:
    """Every movement of a pattern."""
    return message(f"every_{pattern}")


def limit_term(limit: Limit) -> Message:
    """What a limit that bars a version means, as what is done instead."""
    return message(f"limit_{limit}")


def joint_term(point: JointPoint) -> Joint:
    joint, side = point
    return Joint(joint=joint, side=side)


def side_term(side: Side) -> Message:
    return message(f"side_{side}")


def pain_kind_term(kind: PainKind) -> Message:
    return message(f"pain_in_{kind}")


def sign_term(quality: PainQuality) -> Message:
    return message(f"sign_{quality}")


def movement_term(movement: Movement) -> Argument:
    """A movement of the library by its slug, another one by the name that its coach gave it."""
    known = library().get(movement.slug)
    return Moves(movement=movement.slug) if known == movement else Own(own=movement.name)


def region_term(region: Region) -> Message:
    return message(f"region_{region}")


def named(slug: str, name: str) -> Argument:
    """A movement of a session, of which its slug and its name are known."""
    known = library().get(slug)
    return Moves(movement=slug) if known is not None and known.name == name else Own(own=name)


def variant_term(movement: Movement, variant: Variant) -> Argument:
    """A version of a movement of the library by its id, another one by the name that its coach gave it."""
    if library().get(movement.slug) == movement:
        return Version(movement=movement.slug, version=variant.id)
    return Own(own=variant.name)


def named_version(slug: str, variant: str, name: str) -> Argument:
    """A version of a movement of a session, of which its id and its name are known."""
    known = library().get(slug)
    names = {one.id: one.name for one in known.variants} if known is not None else {}
    return Version(movement=slug, version=variant) if names.get(variant) == name else Own(own=name)
