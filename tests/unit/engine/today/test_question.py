"""What is asked of the fit, given what a person has and says today."""

from __future__ import annotations

from datetime import date
from typing import Any

from accounts import account
from builders import BOTH, FLOOR, HAND, adjustment, plan, practice, work
from calls import calls_of

from engine.fit.choose import choose
from engine.fit.offer import offer
from engine.movements.after_pain import MovementPain
from engine.movements.limits import Limit
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import SWAP_FROM
from engine.movements.room import Room, SoreJoint
from engine.plan.adjustment import Change, LeaveOut, RoundsLimit, SpareJoint
from engine.plan.plan import RoundsRange, SessionPlan
from engine.record.history import History, history_of
from engine.record.profile import ProfileFlag
from engine.today.care import care_for
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.no_session import NoSession
from engine.today.question import FitQuestion, question

MONDAY = date(2026, 3, 2)
NOBODY = Learned.from_history(History())
ONE_LIFT = plan(practice(movements=(BOTH.slug,)), work(BOTH.slug, rounds=RoundsRange(min=2, max=6)))


def asked_today(
    of: SessionPlan = ONE_LIFT, learned: Learned = NOBODY, *changes: Change, **fields: Any
) -> FitQuestion:
    today = Today(**({"day": MONDAY, "minutes": 30, "kit": Kit.single} | fields))
    found = question(of, today, learned, [adjustment(changes=changes)] if changes else ())
    assert isinstance(found, FitQuestion)
    return found


def hurt_knee(local_date: date = MONDAY) -> Learned:
    at = account(0).started_at
    flagged = MovementPain(
        at=at,
        local_date=local_date,
        record_id="one",
        movement=BOTH.slug,
        name=BOTH.name,
        joint=Joint.knee,
        side=Side.left,
    )
    return Learned.from_history(History(flagged=(flagged,)))


def test_minutes_kit_and_room_are_asked_as_the_person_said_them() -> None:
    sore = (SoreJoint(joint=Joint.wrist, side=Side.right, rating=2),)
    asked = asked_today(minutes=17.5, sore=sore).asked
    assert asked.minutes == 17.5
    assert asked.room == Room(kit=Kit.single, sore=sore)


def test_a_joint_at_six_today_leaves_no_question_for_the_fit() -> None:
    sore = (SoreJoint(joint=Joint.wrist, side=Side.right, rating=6),)
    today = Today(day=MONDAY, minutes=30, sore=sore)
    assert question(ONE_LIFT, today, NOBODY) == NoSession(sore)


def test_whoever_is_pregnant_is_not_asked_to_lie_down() -> None:
    found = asked_today(flags=(ProfileFlag.pregnant,))
    assert {Limit.not_on_back, Limit.not_prone} <= set(found.asked.room.limits)
    assert found.asked.careful_to_floor


def test_a_joint_that_hurt_counts_as_sore_until_it_is_rated() -> None:
    unsaid = asked_today(learned=hurt_knee()).asked.room
    assert unsaid.sore == (SoreJoint(joint=Joint.knee, side=Side.left, rating=SWAP_FROM),)
    assert (unsaid.after_pain, unsaid.tried) == ((BOTH.slug,), ())
    free = asked_today(learned=hurt_knee(), rated=frozenset({(Joint.knee, Side.left)})).asked.room
    assert (free.sore, free.after_pain, free.tried) == ((), (BOTH.slug,), (BOTH.slug,))


def test_history_gives_the_pace_and_the_side_that_starts() -> None:
    weaker = {Side.right: {"repetitions": 10}}
    past = account(3, sides=(Side.left, Side.right), of_side=weaker)
    learned = Learned.from_history(History(days=(past.local_date,), exposures=(past,)))
    assert learned.first_side is Side.right
    asked = asked_today(learned=learned).asked
    assert (asked.first_side, asked.pace) == (Side.right, learned.pace)


def test_the_care_of_the_day_shapes_the_question() -> None:
    found = asked_today(sore_muscles=2)
    assert found.care == care_for(
        ONE_LIFT, found.choice, History(), Today(day=MONDAY, minutes=30, sore_muscles=2)
    )
    assert found.care.over(found.asked) == found.asked
    assert (found.asked.first_time, found.asked.extra_rounds_percent) == (True, 50)


def test_the_coach_has_the_last_word() -> None:
    found = asked_today(plan(), NOBODY, RoundsLimit(rounds=1), LeaveOut(movement=HAND.slug))
    assert (found.asked.rounds_at_most, found.asked.left_out) == (1, (HAND.slug,))


def test_the_choice_is_the_one_for_the_room_that_is_asked() -> None:
    of = plan(work(BOTH.slug, FLOOR.slug))
    spared = SpareJoint(joint=Joint.neck)
    for changes in ((), (spared,)):
        found = asked_today(of, NOBODY, *changes)
        assert found.choice == choose(of, found.asked.room)
    assert FLOOR.slug not in {one.movement for one in found.choice.by_block["circuit"].values()}


def test_the_care_looks_at_the_movements_before_the_coach_spares_a_joint() -> None:
    of = plan(practice(movements=(FLOOR.slug,)), work(BOTH.slug, FLOOR.slug))
    assert asked_today(of, NOBODY, SpareJoint(joint=Joint.neck)).care == asked_today(of).care


def test_movements_are_chosen_once_for_a_fit() -> None:
    with calls_of(choose) as calls:
        found = asked_today(plan(), NOBODY, RoundsLimit(rounds=3), LeaveOut(movement=HAND.slug))
        made = offer(plan(), found.asked, found.choice)
    assert calls == ["question"]
    assert made == offer(plan(), found.asked)


def test_movements_are_chosen_again_where_the_coach_spares_a_joint() -> None:
    with calls_of(choose) as calls:
        found = asked_today(plan(), NOBODY, SpareJoint(joint=Joint.neck))
        made = offer(plan(), found.asked, found.choice)
    assert calls[:2] == ["question", "question"], "once for the person, once for the coach"
    assert len(calls) == 4, "and with less pain and without, which is never exceeded"
    assert made == offer(plan(), found.asked)


def test_nothing_is_learned_from_no_records() -> None:
    assert Learned.from_history(history_of(())) == NOBODY
    assert (NOBODY.first_side, NOBODY.after_pain) == (Side.left, ())
