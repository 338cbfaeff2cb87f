"""Laws of the limits of a day: what they say in words, the session keeps in seconds and in sentences."""

from __future__ import annotations

from dataclasses import replace

from builders import TEST_MOVEMENTS
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import plans, questions

from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, shortest_possible_ms, solve
from engine.movements.limits import ENDS_SOONER, MOST_HOLD_S, Limit
from engine.movements.movement import Demand, MovementPattern, StartsWith
from engine.plan.plan import AmountUnit, SessionPlan
from engine.session.fitted import FittedSession
from engine.session.segment import Kind


@st.composite
def holding_plans(draw: st.DrawFn) -> SessionPlan:
    """Plans in which some movements are holds and some lean the trunk as far as level."""
    movements = tuple(
        one.model_copy(
            update={
                "starts_with": draw(st.sampled_from(StartsWith)),
                "asks": draw(st.sampled_from([(), (Demand.trunk_level,)])),
            }
        )
        for one in TEST_MOVEMENTS
    )
    return draw(plans()).model_copy(update={"movements": movements})


@st.composite
def limited(draw: st.DrawFn) -> tuple[SessionPlan, Asked, FittedSession]:
    """A session of somebody with short holds and the trunk up."""
    plan, asked = draw(holding_plans()), draw(questions())
    limits = (Limit.trunk_up, Limit.short_holds)
    asked = replace(asked, room=asked.room.model_copy(update={"limits": limits}))
    problem = pose(plan, asked)
    spare_ms = draw(st.integers(0, 600_000))
    asked = replace(asked, minutes=(shortest_possible_ms(problem) + spare_ms) / 60_000 + 1e-6)
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    assume(solution is not None)
    return plan, asked, fitted(problem, solution)


@given(limited())
def test_no_hold_lasts_longer_than_it_may_on_either_side(one) -> None:
    """30 s†, in practice and work by the clock, and in the amounts of a warm-up; a stretch may be longer."""
    _, _, session = one
    held = {
        item.chosen.movement
        for block in session.blocks
        for item in block.items
        if item.chosen.starts_with is StartsWith.hold and item.chosen.pattern is not MovementPattern.mobility
    }
    for segment in session.segments:
        if segment.movement in held and segment.kind in (Kind.practice, Kind.work):
            assert segment.pace == "self" or segment.planned_ms <= MOST_HOLD_S * 1000
    for block in session.blocks:
        for item in block.items if block.kind == "warm_up" else ():
            if item.chosen.movement in held and item.amount and item.amount.unit is AmountUnit.seconds:
                assert item.amount.most <= MOST_HOLD_S


@given(limited())
def test_whatever_leans_as_far_as_level_is_told_to_end_sooner(one) -> None:
    plan, _, session = one
    known = plan.known_movements()
    for block in session.blocks:
        for item in block.items:
            leans = Demand.trunk_level in known[item.chosen.movement].asks
            assert item.chosen.end_point.endswith(ENDS_SOONER) == leans


@given(limited())
def test_both_sides_of_a_shorter_hold_last_as_long(one) -> None:
    _, _, session = one
    sides: dict[tuple[object, ...], dict[object, int]] = {}
    for segment in session.segments:
        if segment.kind is Kind.work:
            place = segment.block, segment.round, segment.place
            sides.setdefault(place, {})[segment.side] = segment.planned_ms
    assert all(len(set(by_side.values())) == 1 for by_side in sides.values())
