"""Laws of links and adjustments: what a link carries comes back, and a fit does what the coach asks."""

from __future__ import annotations

from datetime import date, timedelta

from builders import STARTED_AT
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import WORKED, plans

from engine.base.base_41 import DIGITS, from_base_41, to_base_41
from engine.base.printable import is_seen
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.movements.movement import JOINT_POINTS, Kit
from engine.movements.room import Room
from engine.plan.adjustment import (
    Adjustment,
    Change,
    LeaveOut,
    MinutesHint,
    NextWeight,
    Remark,
    RoundsLimit,
    SpareJoint,
    adjustment_faults,
    describe,
)
from engine.plan.link import fragment, read_link
from engine.plan.plan import SessionPlan
from engine.today.adjusted import with_adjustments

TODAY = STARTED_AT.date()
LAST = TODAY + timedelta(days=6)
texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=120)
names = texts.filter(is_seen)
changes: st.SearchStrategy[Change] = st.one_of(
    st.builds(
        lambda point, until: SpareJoint(joint=point[0], side=point[1], until=until),
        st.sampled_from(JOINT_POINTS),
        st.none() | st.dates(TODAY, LAST),
    ),
    st.builds(NextWeight, movement=st.sampled_from(WORKED), after_one=st.booleans()),
    st.builds(RoundsLimit, rounds=st.integers(1, 5), exact=st.booleans()),
    st.builds(MinutesHint, minutes=st.integers(5, 180)),
    st.builds(LeaveOut, movement=st.sampled_from(WORKED)),
    st.builds(Remark, text=texts),
)
adjustments = st.builds(
    lambda **fields: Adjustment(made_at=STARTED_AT, until=LAST, **fields),
    trainee=names,
    author=names,
    plan_id=st.none() | st.just("test-plan"),
    changes=st.lists(changes, min_size=1, max_size=5).map(tuple),
)


@given(plans() | adjustments)
def test_what_a_link_carries_comes_back(document: SessionPlan | Adjustment) -> None:
    """Law: reading the link of a document without faults gives the document."""
    written = fragment(document)
    assert read_link(written) == document
    assert set(written.partition("=")[2]) <= set(DIGITS)


@given(st.binary(max_size=300))
def test_base_41_is_the_identity_both_ways(raw: bytes) -> None:
    """Law: decoding what was encoded gives the bytes, in three characters for two bytes and two for one."""
    text = to_base_41(raw)
    assert from_base_41(text) == raw
    assert len(text) == len(raw) // 2 * 3 + len(raw) % 2 * 2
    assert not text.endswith((":", "."))


@given(plans(), adjustments, st.sampled_from(Kit), st.integers(10, 60), st.integers(0, 6))
def test_a_fit_keeps_to_what_the_coach_asked(
    plan: SessionPlan, asked_by_coach: Adjustment, kit: Kit, minutes: int, days: int
) -> None:
    """Law: an adjusted session fits its minutes, has no more rounds than the coach's limit, nothing of the
    work that was left out, and no variant that stresses a spared joint; and every change has a sentence."""
    assert adjustment_faults(asked_by_coach) == ()
    today: date = TODAY + timedelta(days=days)
    asked = with_adjustments(Asked(minutes=minutes, room=Room(kit=kit)), plan, [asked_by_coach], today)
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    assume(solution is not None)
    assert solution is not None
    session = fitted(problem, solution)
    assert session.total_ms <= asked.budget_ms
    limits = [one for one in asked_by_coach.changes if isinstance(one, RoundsLimit)]
    work = [block for block in session.blocks if block.kind == "work"]
    assert all(block.rounds <= limits[-1].rounds for block in work if limits)
    gone = {one.movement for one in asked_by_coach.changes if isinstance(one, LeaveOut)}
    assert not gone & {item.chosen.movement for block in work for item in block.items}
    known = plan.known_movements()
    for block in session.blocks:
        for item in block.items:
            movement = known[item.chosen.movement]
            variant = next(variant for variant in movement.variants if variant.id == item.chosen.variant)
            for one in asked_by_coach.changes:
                if isinstance(one, SpareJoint) and (one.until is None or today <= one.until):
                    assert movement.stress_on(one.joint, variant) == 0
    assert len(describe(asked_by_coach, known)) == 1 + len(asked_by_coach.changes)
