"""What the coach asks of one person: told in sentences first, then applied to each fit, which it can only
make smaller, or let a load rise that was earned."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from accounts import MINUTE, TODAY, account, loaded
from builders import BOTH, FLOOR, HAND, LEG, STARTED_AT, cool_down, plan, practice, work
from reasons_said import reasons_said

from companion.words.faults import fault_words
from companion.words.words import english
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.load.next_step import BY_LEAVE, COACH_ALLOWS
from engine.load.proposal import LoadProposal, LoadStep
from engine.load.propose import propose
from engine.load.rules import LoadRules
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import Advice
from engine.movements.room import Room, SoreJoint
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
    in_force,
)
from engine.plan.plan import RoundsRange, SessionPlan
from engine.session.fitted import FittedSession
from engine.today.adjusted import minutes_hint, rules_with_adjustments, with_adjustments

MONDAY = STARTED_AT.date()
EVENS = (8_000, 10_000, 12_000, 14_000)


def adjustment(*changes: Change, **fields: Any) -> Adjustment:
    defaults = {
        "trainee": "Runa",
        "author": "Odile",
        "made_at": STARTED_AT,
        "until": MONDAY + timedelta(days=6),
        "changes": changes,
    }
    return Adjustment(**(defaults | fields))


def shaped(*changes: Change, of: SessionPlan | None = None, **asked: Any) -> Asked:
    before = Asked(**({"minutes": 60, "room": Room(kit=Kit.single)} | asked))
    return with_adjustments(before, of or plan(), [adjustment(*changes)] if changes else [], MONDAY)


def session(*changes: Change, of: SessionPlan | None = None, **asked: Any) -> FittedSession:
    of = of or plan()
    problem = pose(of, shaped(*changes, of=of, **asked))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None
    return fitted(problem, solution)


def named(of: FittedSession, block: str) -> list[str]:
    return [item.chosen.movement for one in of.blocks if one.id == block for item in one.items]


# What is shown before it is taken


def test_every_change_is_one_plain_sentence() -> None:
    asked = adjustment(
        SpareJoint(joint=Joint.shoulder, side=Side.left, until=date(2026, 3, 4)),
        NextWeight(movement=BOTH.slug),
        NextWeight(movement="unheard-of", after_one=True),
        RoundsLimit(rounds=2),
        RoundsLimit(rounds=1, exact=True),
        MinutesHint(minutes=20),
        LeaveOut(movement=HAND.slug),
        Remark(text="Sleep first."),
        plan_id="test-plan",
    )
    assert tuple(map(english, describe(asked, plan().known_movements()))) == (
        "From Odile to Runa, for the plan “test-plan”, until 8 March 2026.",
        "Spare until 4 March 2026: left shoulder. Other movements take the place of those that load it.",
        "Next weight after two clear sessions: Both hands lift.",
        "Next weight after one clear session: unheard-of.",
        "At most 2 rounds of each work block.",
        "Exactly 1 round of each work block.",
        "About 20 min are enough; you still choose your minutes.",
        "Leave out: One hand press.",
        "Remark: Sleep first.",
    )


@pytest.mark.parametrize(
    "made,fault",
    [
        (
            adjustment(RoundsLimit(rounds=2), until=MONDAY - timedelta(days=1)),
            "Last day: The last day comes before the day it was made.",
        ),
        (
            adjustment(RoundsLimit(rounds=2), until=MONDAY + timedelta(days=93)),
            "Last day: An adjustment holds for 92 days at most.",
        ),
        (
            adjustment(SpareJoint(joint=Joint.low_back, side=Side.left)),
            "Change 1 › Side: This joint has no side: low back.",
        ),
        (
            adjustment(SpareJoint(joint=Joint.knee, until=MONDAY + timedelta(days=7))),
            "Change 1 › Last day: This is after the last day of the adjustment.",
        ),
    ],
)
def test_a_fault_has_its_place(made: Adjustment, fault: str) -> None:
    assert list(map(fault_words, adjustment_faults(made))) == [fault]


def test_an_adjustment_holds_to_its_last_day_for_its_plan_and_person() -> None:
    made = adjustment(RoundsLimit(rounds=2), plan_id="test-plan", trainee_id="runa")
    last = made.until
    assert in_force([made], plan(), last, ids={"runa"}) == (made,)
    assert in_force([made], plan(), last + timedelta(days=1), ids={"runa"}) == ()
    assert in_force([made], plan(), last, ids={"wilm"}) == ()
    assert in_force([made], plan(id="another"), last, ids={"runa"}) == ()
    for_all = adjustment(RoundsLimit(rounds=2))
    assert in_force([for_all], plan(id="another"), last, ids={"wilm"}) == (for_all,)
    assert in_force([made], plan(), last, ids={"a-tablet", "runa"}) == (made,), "an id from before"


# How it shapes the next fit


def test_a_joint_to_spare_takes_nothing_and_the_session_says_why() -> None:
    of = plan(work(BOTH.slug, FLOOR.slug))
    assert FLOOR.slug in named(session(of=of), "circuit")
    spared = session(SpareJoint(joint=Joint.neck), of=of)
    assert FLOOR.slug not in named(spared, "circuit")
    assert any("spares the neck" in said for said in reasons_said(spared))


def test_a_joint_is_spared_to_its_own_day_and_what_the_person_says_stays() -> None:
    ends = SpareJoint(joint=Joint.knee, side=Side.left, until=MONDAY)
    said = SoreJoint(joint=Joint.knee, side=Side.left, rating=5)
    low = SoreJoint(joint=Joint.knee, side=Side.left, rating=1)
    spared = SoreJoint(joint=Joint.knee, side=Side.left, rating=3)
    before = Asked(minutes=20)
    assert with_adjustments(before, plan(), [adjustment(ends)], MONDAY).room.sore == (spared,)
    assert with_adjustments(before, plan(), [adjustment(ends)], MONDAY + timedelta(days=1)) == before
    assert shaped(ends, room=Room(sore=(said,))).room.sore == (said,)
    assert shaped(ends, room=Room(sore=(low,))).room.sore == (low, spared)


def test_rounds_at_most_bound_the_coachs_range_from_above_and_below_it_too() -> None:
    of = plan(work(rounds=RoundsRange(min=2, max=4)))
    assert [session(*limit, of=of).rounds() for limit in ((), (RoundsLimit(rounds=3),))] == [4, 3]
    fewer = session(RoundsLimit(rounds=1), of=of)
    assert (fewer.rounds(), fewer.below_minimum) == (1, False), "the coach asked for it"


def test_rounds_exactly_are_those_rounds_but_never_beyond_the_plan() -> None:
    of = plan(work(rounds=RoundsRange(min=2, max=4)))
    assert session(RoundsLimit(rounds=3, exact=True), of=of).rounds() == 3
    assert session(RoundsLimit(rounds=9, exact=True), of=of).rounds() == 4
    assert session(RoundsLimit(rounds=3, exact=True), of=of, rounds=2).rounds() == 2


def test_the_latest_word_on_rounds_counts() -> None:
    earlier = adjustment(RoundsLimit(rounds=3))
    later = adjustment(RoundsLimit(rounds=1), made_at=STARTED_AT + timedelta(hours=1))
    current = in_force([later, earlier], plan(), MONDAY)
    assert current == (earlier, later)
    assert with_adjustments(Asked(minutes=20), plan(), current, MONDAY).rounds_at_most == 1


def test_a_movement_left_out_leaves_work_and_practice_and_nothing_stands_in() -> None:
    of = plan(practice(), work(), work(HAND.slug, LEG.slug, id="second"), cool_down(movements=(LEG.slug,)))
    left = session(LeaveOut(movement=LEG.slug), of=of)
    assert named(left, "practice") == named(left, "circuit") == [BOTH.slug, HAND.slug]
    assert named(left, "second") == [HAND.slug]
    assert named(left, "cool-down") == [LEG.slug]
    assert reasons_said(left) == ["One leg stand left out: the coach asks for it."] * 2
    assert {segment.movement for segment in left.segments if segment.block != "cool-down"} <= {
        *(BOTH.slug, HAND.slug, None)
    }


def test_what_is_left_out_does_not_come_back_as_a_stand_in() -> None:
    of = plan(work(HAND.slug, FLOOR.slug))
    sore = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.neck, rating=3),))
    stand_in = named(session(of=of, room=sore), "circuit")[1]
    assert stand_in != FLOOR.slug
    assert named(session(LeaveOut(movement=stand_in), of=of, room=sore), "circuit") == [HAND.slug]


def test_where_all_work_is_left_out_nothing_is_offered() -> None:
    of = plan(work(HAND.slug))
    problem = pose(of, shaped(LeaveOut(movement=HAND.slug), of=of))
    assert solve(problem, problem.asked.budget_ms) is None


def test_the_minutes_stay_the_persons_own() -> None:
    hints = [adjustment(MinutesHint(minutes=20)), adjustment(MinutesHint(minutes=15))]
    assert shaped(MinutesHint(minutes=20)).minutes == 60
    assert minutes_hint(hints) == 15
    assert minutes_hint([adjustment(RoundsLimit(rounds=2))]) is None


def test_what_changes_nothing_leaves_the_question_as_it_was() -> None:
    before = Asked(minutes=25)
    assert with_adjustments(before, plan(), [], MONDAY) == before
    assert shaped(Remark(text="Well done."), minutes=60) == replace(
        before, minutes=60, room=Room(kit=Kit.single)
    )


# What it lets a load do


def proposed(*history: Any, changes: tuple[Change, ...] = ()) -> LoadProposal:
    rules = rules_with_adjustments(LoadRules(), [adjustment(*changes)] if changes else [])
    return propose(loaded(), history, EVENS, today=TODAY, rules=rules)


LEAVE = (NextWeight(movement=MINUTE.movement),)
SOONER = (NextWeight(movement=MINUTE.movement, after_one=True),)


def test_the_next_weight_comes_by_the_coachs_leave_where_the_limits_would_hold_it_back() -> None:
    clear = account(5), account(2)
    assert proposed(*clear).load_g == 10_000, "12 kg are 20 % up"
    allowed = proposed(*clear, changes=LEAVE)
    assert (allowed.step, allowed.load_g, allowed.heavier_rounds) == (LoadStep.heavier, 12_000, 0)
    assert COACH_ALLOWS in allowed.reason
    assert allowed.source == (BY_LEAVE,)


def test_leave_has_to_be_earned_by_two_clear_sessions_or_by_one_where_the_coach_says_so() -> None:
    assert proposed(account(2), changes=LEAVE).load_g == 10_000
    assert proposed(account(2), changes=SOONER).load_g == 12_000
    assert proposed(account(2, repetitions=9), changes=SOONER).load_g == 10_000
    assert proposed(account(5), account(2, 12_000, repetitions=11), changes=SOONER).load_g == 12_000
    assert proposed(account(2), changes=(NextWeight(movement="another", after_one=True),)).load_g == 10_000


@pytest.mark.parametrize(
    "trouble",
    [{"pain": 4, "advice": Advice.swap_and_leave_out}, {"form_kept": False}, {"range_kept": False}],
)
def test_no_leave_lifts_a_load_after_pain_a_lost_position_or_a_shortened_range(
    trouble: dict[str, Any],
) -> None:
    risen = proposed(account(5), account(2, **trouble), changes=SOONER)
    assert risen.load_g is not None
    assert risen.load_g <= 10_000


def test_an_adjustment_from_the_future_is_not_in_force_and_has_a_fault() -> None:
    """One that said 2099 was in force today, and one of the last day of the calendar raised OverflowError."""
    for made_at in (STARTED_AT.replace(year=2099), STARTED_AT.replace(year=9999, month=12, day=31)):
        ahead = adjustment(Remark(text="Easy."), made_at=made_at, until=made_at.date())
        assert in_force([ahead], plan(), MONDAY) == ()
        (fault,) = adjustment_faults(ahead, today=MONDAY)
        assert (fault.where, fault.what.code) == (("made_at",), "made_in_the_future")
        assert adjustment_faults(ahead) == ()
    tomorrow = adjustment(Remark(text="Easy."), made_at=STARTED_AT + timedelta(days=1))
    assert in_force([tomorrow], plan(), MONDAY) == (tomorrow,), "it is tomorrow where the coach is"
    assert adjustment_faults(tomorrow, today=MONDAY) == ()
