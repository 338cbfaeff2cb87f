"""Limits on positions and movements. Each code names a consequence, never the reason for it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from enum import StrEnum

from engine.movements.movement import (
    Demand,
    Movement,
    MovementPattern,
    Position,
    StartsWith,
    Variant,
)

MOST_HOLD_S = 30
"""How long a hold lasts on each side with short holds: nobody knows beforehand whether its effort will be 8.
† Our judgement, no source."""
LEAST_SLOPE_DEGREES = 15
"""How far above level the trunk stays with the trunk up. † Our judgement, no source."""
STEADY_BALANCE = 1
BOTH_FEET_BALANCE = 2
"""The most balance that steady standing and no free standing on one leg allow. † Our judgement, no source."""


class Limit(StrEnum):
    """A limit on what is done today."""

    not_on_back = "not_on_back"
    not_prone = "not_prone"
    hands_raised = "hands_raised"
    """Press-ups and planks with the hands raised."""
    steady = "steady"
    not_on_one_leg = "not_on_one_leg"
    head_up = "head_up"
    not_head_down = "not_head_down"
    """No work on the hands with the head below the hips."""
    trunk_up = "trunk_up"
    no_rounding = "no_rounding"
    no_twisting = "no_twisting"
    belly_free = "belly_free"
    breathing_and_walking = "breathing_and_walking"
    rest_today = "rest_today"
    """No session at all."""
    keep_breathing = "keep_breathing"
    effort_7 = "effort_7"
    lying_press_effort_7 = "lying_press_effort_7"
    short_holds = "short_holds"
    stop_when_heavy = "stop_when_heavy"


POSITIONS_BARRED = {
    Limit.not_on_back: Position.supine,
    Limit.not_prone: Position.prone,
    Limit.hands_raised: Position.propped,
}
MOST_BALANCE = {Limit.steady: STEADY_BALANCE, Limit.not_on_one_leg: BOTH_FEET_BALANCE}
DEMANDS_BARRED = {
    Limit.head_up: Demand.head_low,
    Limit.no_rounding: Demand.rounding,
    Limit.no_twisting: Demand.twisting,
    Limit.belly_free: Demand.belly_load,
}
WALKING = frozenset({"march-in-place"})
BREATHING_AND_WALKING = WALKING | {"seated-breath", "standing-breath", "lying-breath"}
"""The movements that are breathing or walking."""

LIMIT_RULES = {
    Limit.trunk_up: (
        f"Stop the lean while the trunk is still clearly above level, about {LEAST_SLOPE_DEGREES}°."
    ),
    Limit.keep_breathing: "Breathe out on the effort; never hold your breath.",
    Limit.effort_7: "Stop while 3 more would still go: effort 7 of 10 at most.",
    Limit.lying_press_effort_7: "Stop while 3 more would still go: effort 7 of 10 at most.",
    Limit.short_holds: f"Where the hold gets hard, effort 8 of 10, come out of it within {MOST_HOLD_S} s.",
    Limit.stop_when_heavy: "Stop if you feel heaviness in the pelvic floor, or leak urine or stool.",
}
"""What a limit that bars nothing adds to the stop rules of a movement. † Our wording."""
ENDS_SOONER = f"With the trunk {LEAST_SLOPE_DEGREES}° or more above level, even if that ends it sooner."
"""What the limit on the slope of the trunk adds to the end point of a movement. † Our wording."""


def barring(limits: Collection[Limit], movement: Movement, variant: Variant) -> tuple[Limit, ...]:
    """The limits that a variant is against."""
    return tuple(limit for limit in Limit if limit in limits and _bars(limit, movement, variant))


def _bars(limit: Limit, movement: Movement, variant: Variant) -> bool:
    if limit is Limit.rest_today:
        return True
    if limit is Limit.not_head_down:
        works = movement.pattern is not MovementPattern.mobility
        return works and variant.hands_bear and Demand.head_low in movement.asks_of(variant)
    if limit is Limit.breathing_and_walking:
        return movement.slug not in BREATHING_AND_WALKING
    return (
        POSITIONS_BARRED.get(limit) is variant.position
        or movement.balance_of(variant) > MOST_BALANCE.get(limit, 3)
        or DEMANDS_BARRED.get(limit) in movement.asks_of(variant)
    )


def rules_of(limits: Collection[Limit], movement: Movement, variant: Variant) -> Iterator[str]:
    """What the limits add to the stop rules of a movement, each sentence once."""
    rules = (
        LIMIT_RULES[limit]
        for limit in Limit
        if limit in limits and limit in LIMIT_RULES and _tells(limit, movement, variant)
    )
    yield from dict.fromkeys(rules)


def most_hold_s(limits: Collection[Limit], movement: Movement) -> int | None:
    """How long a movement may be held on each side today; None where there is no limit, and for a stretch."""
    short = Limit.short_holds in limits and _tells(Limit.short_holds, movement, movement.variants[0])
    return MOST_HOLD_S if short else None


def end_point_within(end_point: str, limits: Collection[Limit], movement: Movement, variant: Variant) -> str:
    """The end point of a movement with what the limits of today add to it."""
    ends_sooner = Limit.trunk_up in limits and _tells(Limit.trunk_up, movement, variant)
    return f"{end_point} {ENDS_SOONER}" if ends_sooner else end_point


def planned_end_point(end_point: str) -> str:
    """An end point without what limits have added."""
    return end_point.removesuffix(f" {ENDS_SOONER}")


def _tells(limit: Limit, movement: Movement, variant: Variant) -> bool:
    if limit is Limit.trunk_up:
        return Demand.trunk_level in movement.asks_of(variant)
    if movement.pattern is MovementPattern.mobility:
        return False
    if limit is Limit.lying_press_effort_7:
        return variant.position is Position.supine and movement.pattern is MovementPattern.horizontal_push
    if limit is Limit.short_holds:
        return movement.starts_with is StartsWith.hold
    return True


def without_rules(stop_rules: Collection[str]) -> tuple[str, ...]:
    """Stop rules without those that limits have added."""
    return tuple(rule for rule in stop_rules if rule not in LIMIT_RULES.values())
