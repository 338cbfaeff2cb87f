"""Intervals on the clock: how long each side works, and how long the change between them takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from engine.base.units import ms
from engine.movements.movement import Sides
from engine.plan.floors import shortest_rest_s
from engine.plan.plan import SessionPlan, SideChangeMode, WorkBlock, WorkMovement
from engine.session.choices import Choices, Chosen

HAND_CHANGE_S = 5
LEG_CHANGE_S = 10
"""The shortest change of sides. † Our judgement, no source."""


@dataclass(frozen=True)
class Interval:
    """How an interval is spent: work in all, and the change of sides in its middle, 0 where there is none.

    ``from_rest_ms`` is how much of the change the following rest pays for.
    """

    work_ms: int
    change_ms: int
    from_rest_ms: int = 0


def quick_change_ms(chosen: Chosen) -> int:
    """The shortest change of sides of a movement, in milliseconds."""
    return ms(HAND_CHANGE_S if chosen.sides is Sides.hand else LEG_CHANGE_S)


def work_within_ms(work_ms: int, chosen: Chosen) -> int:
    """The time that a movement works in an interval: all of it, or as long as it may be held."""
    if chosen.most_hold_s is None:
        return work_ms
    return min(work_ms, ms(chosen.most_hold_s) * (1 if chosen.sides is Sides.none else 2))


def change_inside(length_ms: int, chosen: Chosen) -> Interval:
    """An interval with the change of sides taken out of its middle, so that both sides get the same."""
    if chosen.sides is Sides.none:
        return Interval(work_within_ms(length_ms, chosen), 0)
    change_ms = quick_change_ms(chosen)
    return Interval(work_within_ms(length_ms - change_ms, chosen), change_ms)


def work_interval(
    plan: SessionPlan, block: WorkBlock, item: WorkMovement, chosen: Chosen, choices: Choices
) -> Interval:
    """The work interval of a movement: its length after the fit, its change of sides as the plan or the fit
    has it."""
    length_ms = _work_length_ms(block, item, choices)
    if chosen.sides is Sides.none:
        return Interval(work_within_ms(length_ms, chosen), 0)
    inside = choices.hand_inside if chosen.sides is Sides.hand else choices.leg_inside
    mode = plan.side_change.mode
    if block.id in inside or mode is SideChangeMode.inside:
        return change_inside(length_ms, chosen)
    change_ms = ms(plan.side_change.change_s)
    work_ms = work_within_ms(length_ms, chosen)
    return Interval(work_ms, change_ms, from_rest_ms=change_ms if mode is SideChangeMode.from_rest else 0)


def _work_length_ms(block: WorkBlock, item: WorkMovement, choices: Choices) -> int:
    """The length after the fit; an interval that is shorter already keeps its length."""
    planned_s = item.work_s or block.work_s
    return ms(min(planned_s, choices.work_s.get(block.id, planned_s)))


def rest_ms(
    block: WorkBlock,
    choices: Choices,
    pair: tuple[Chosen, Chosen],
    *,
    between_rounds: bool,
    paid_ms: int,
) -> int:
    """The rest between a ``pair`` of movements, less the ``paid_ms`` that a change of sides takes from it.

    It is never below its floor, unless the plan itself has it shorter. Of the loads it is known here how many
    weights are in the hands.
    """
    one, following = pair
    floor_s = shortest_rest_s(following.on_floor, other_load=one.dumbbells != following.dumbbells)
    planned_ms = _planned_rest_ms(block, choices.rest_s, floor_s, between_rounds=between_rounds)
    return max(planned_ms - paid_ms, min(planned_ms, ms(floor_s)))


def _planned_rest_ms(
    block: WorkBlock, brought_down_s: Mapping[str, int], floor_s: int, *, between_rounds: bool
) -> int:
    """The rest as planned or as the fit has brought it down, never below its floor."""
    if between_rounds and block.round_rest_s is not None:
        return ms(block.round_rest_s)
    if block.id in brought_down_s:
        return ms(min(block.rest_s, max(brought_down_s[block.id], floor_s)))
    return ms(block.rest_s)
