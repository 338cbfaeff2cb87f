"""What the morning after a session leaves out, says, and how it is released."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from builders import BOTH, HAND, STARTED_AT, movement, plan, practice, record, work
from pages import sore_session

from companion.words.words import ENGLISH
from engine.fit.offer import offer
from engine.movements.movement import Joint, Kit, MovementPattern, Side
from engine.record.amendment import AmendedField, Amendment
from engine.record.history import History, history_of
from engine.record.record import Record
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.question import FitQuestion, question

SAY_TODAY = "Say how the joint is today."
SQUAT = movement("deep-squat", stress={"knee": 2})
STEP = movement("low-step", pattern=MovementPattern.lunge, stress={"knee": 1})
PLAN = plan(
    practice(movements=(SQUAT.slug,)),
    work(SQUAT.slug, STEP.slug, HAND.slug),
    movements=(SQUAT, STEP, BOTH, HAND),
)
KNEE = (Joint.knee, Side.left)
MONDAY = STARTED_AT.date()


def morning(rating: int, of: Record, days: int = 1, id: str = "morning") -> Amendment:
    return Amendment(
        id=id,
        record_id=of.id,
        at=STARTED_AT.replace(hour=8) + timedelta(days=days),
        field=AmendedField.next_morning_pain,
        value={"joint": "knee", "side": "left", "rating": rating},
    )


def asked(history: History, days: int, **today: Any) -> FitQuestion:
    at = Today(day=MONDAY + timedelta(days=days), minutes=40, kit=Kit.pair, **today)
    put = question(PLAN, at, Learned.from_history(history))
    assert isinstance(put, FitQuestion)
    return put


def worked(put: FitQuestion) -> set[str]:
    session = offer(PLAN, put.asked, put.choice).session
    assert session is not None
    return {one.movement for one in session.segments if one.kind == "work" and one.movement}


@pytest.mark.parametrize(
    ("before", "rating", "left_out"),
    [(0, 0, False), (0, 1, True), (0, 3, True), (2, 1, False), (2, 2, False), (2, 3, True)],
)
def test_higher_than_before_or_3_and_more_leaves_out_what_loads_the_joint(
    before: int, rating: int, left_out: bool
) -> None:
    """sore_session was fitted around a left knee at 2."""
    done = record(sore_session()) if before else record()
    put = asked(history_of([done], [morning(rating, done)]), 3, rated=frozenset({KNEE}))
    assert (SQUAT.slug in put.asked.room.after_pain) is left_out
    assert (SQUAT.slug in worked(put)) is not left_out
    assert STEP.slug not in put.asked.room.after_pain, "grade 1 is not left out"


def test_the_day_after_and_unsaid_the_joint_counts_as_3() -> None:
    done = record()
    put = asked(history_of([done], [morning(4, done)]), 3)
    assert [(one.joint, one.rating) for one in put.asked.room.sore] == [(Joint.knee, 3)]
    assert worked(put).isdisjoint({SQUAT.slug, STEP.slug})
    assert ENGLISH.say(put.care.pain[0]).endswith(SAY_TODAY)


def test_one_or_two_and_not_higher_means_no_growth_and_says_so() -> None:
    done = record(sore_session())
    history = history_of([done], [morning(2, done)])
    assert not any(one.sound for one in history.exposures)
    assert ENGLISH.sentences(asked(history, 3).care.pain) == (
        "The morning after Monday 2 March: left knee, pain 2 of 10. No heavier weights and nothing harder "
        "for now."
    )


def test_what_was_left_out_is_said_first_and_stays_out_until_a_try_and_its_morning_are_free_of_pain() -> None:
    done = record()
    history = history_of([done], [morning(4, done)])
    put = asked(history, 3, rated=frozenset({KNEE}))
    said = ENGLISH.say(put.care.pain[0])
    assert said.startswith("The morning after Monday 2 March: left knee, pain 4 of 10. ")
    assert not said.endswith(SAY_TODAY), "it is said already"
    assert put.asked.room.tried == put.asked.room.after_pain
    session = offer(PLAN, put.asked, put.choice).session
    tried = record(session, record_id="tried", started_at=STARTED_AT + timedelta(days=3))
    waiting = history_of([done, tried], [morning(4, done)])
    assert SQUAT.slug in asked(waiting, 4, rated=frozenset({KNEE})).asked.room.after_pain
    free = [morning(4, done), morning(0, tried, days=4, id="free")]
    back = asked(history_of([done, tried], free), 5, rated=frozenset({KNEE}))
    assert back.asked.room.after_pain == ()
    assert back.care.pain == ()


def test_a_morning_without_pain_after_a_session_that_tried_nothing_releases_nothing() -> None:
    done = record()
    other = record(record_id="other", started_at=STARTED_AT + timedelta(days=3))
    told = [morning(4, done), morning(0, other, days=4, id="free")]
    put = asked(history_of([done, other], told), 5, rated=frozenset({KNEE}))
    assert SQUAT.slug in put.asked.room.after_pain


def test_after_a_sign_of_injury_it_is_said_that_nothing_loads_the_joint_today() -> None:
    put = asked(History(), 0, spared=(KNEE,))
    assert ENGLISH.sentences(put.care.pain) == (
        "After what you noted today, nothing that loads this joint starts before tomorrow: left knee. If it "
        "snapped, gave way, locked, tingled or went numb, have a doctor or a physiotherapist look at it "
        "before you load it again."
    )
