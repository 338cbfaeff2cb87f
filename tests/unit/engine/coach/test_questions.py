"""The questions for the coach that a week suggests."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import pytest
from builders import (
    BOTH,
    FLOOR,
    HAND,
    LEG,
    STARTED_AT,
    journal,
    logged,
    movement,
    plan,
    record,
    session,
    short_session,
    work,
)
from pages import page
from reasons_said import hands_inside, swapped_for_a_knee

from companion.words.words import ENGLISH, english
from engine.base.message import Message, Own, message
from engine.coach.question import Question
from engine.coach.questions import MOST_PROPOSED, week_questions
from engine.load.proposal import SAME_AGAIN, LoadProposal, LoadStep
from engine.load.sides import side_question
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.movement import Joint, Side
from engine.plan.plan import RoundsRange
from engine.record.exposure import Exposure, exposures_of
from engine.record.record import Record, SetAnswer, set_key
from engine.session.to_lift import ToLift

SUNDAY = date(2026, 3, 8)


SIXTH = movement("heel-lift")


def asked(
    records: Sequence[Record], *, accounts: Sequence[Exposure] = (), left_out: Sequence[AfterPain] = ()
) -> list[str]:
    return [ENGLISH.argument(one.said) for one in questions(records, accounts=accounts, left_out=left_out)]


def questions(
    records: Sequence[Record], *, accounts: Sequence[Exposure] = (), left_out: Sequence[AfterPain] = ()
) -> tuple[Question, ...]:
    return week_questions(page(records).sessions, accounts, left_out, today=SUNDAY)


def lifted(days: int = 0, *, left: int = 7, right: int = 7, **said: Any) -> Record:
    """Both sides in both rounds, with an effort unless the test says otherwise."""
    exceptions = {
        set_key("circuit", number, 1, HAND.slug, side): SetAnswer(
            **({"load_g": 8_000, "repetitions": done, "effort": 7} | said)
        )
        for number in (1, 2)
        for side, done in ((Side.left, left), (Side.right, right))
    }
    at = STARTED_AT + timedelta(days=days)
    return record(record_id=f"day-{days}", started_at=at, exceptions=exceptions)


def left_out_after_pain(**fields: Any) -> AfterPain:
    defaults = {
        "movement": "side-lunge",
        "name": "Side lunge",
        "joint": Joint.knee,
        "side": Side.left,
        "since": date(2026, 3, 5),
        "times": 1,
        "stage": Stage.left_out,
    }
    return AfterPain(**(defaults | fields))


def test_a_week_without_trouble_asks_nothing() -> None:
    assert asked([lifted()], accounts=exposures_of(lifted())) == []
    assert asked([]) == []


def test_a_hold_is_asked_about_first_and_counts_as_pain() -> None:
    found = questions([lifted(form_held=False)], left_out=[left_out_after_pain()])
    assert ENGLISH.argument(found[0].said) == (
        "Left out after pain: Side lunge, left knee. What takes its place?"
    )
    assert found[0].about == "pain"
    assert len(found) == 2


def test_a_movement_on_its_way_back_is_asked_about_as_such() -> None:
    (text,) = asked([], left_out=[left_out_after_pain(stage=Stage.returning)])
    assert text == "Coming back after pain, lighter: Side lunge, left knee. How much range?"


@pytest.mark.parametrize("fields", [{"times": 2}, {"since": date(2026, 2, 22)}])
def test_a_hold_that_lasts_or_comes_again_names_a_health_professional(fields: dict[str, Any]) -> None:
    (text,) = asked([], left_out=[left_out_after_pain(**fields)])
    assert "health professional" in text


def test_a_side_that_was_weaker_three_times_is_asked_about_by_name() -> None:
    records = [lifted(days, left=5, right=7) for days in (0, 2, 4)]
    accounts = [account for one in records for account in exposures_of(one)]
    said = (
        "Weaker in 3 sessions in a row: One hand press, weight in the left hand. What does the coach make of "
        "it?"
    )
    assert asked(records, accounts=accounts) == [said]
    assert asked(records, accounts=accounts[:2]) == []


def test_a_movement_that_was_not_done_this_week_is_not_asked_about() -> None:
    accounts = [one for days in (0, 2, 4) for one in exposures_of(lifted(days, left=5))]
    assert asked([], accounts=accounts) == []


def test_a_loaded_movement_without_any_effort_is_asked_about() -> None:
    (text,) = asked([lifted(effort=None)])
    assert text == (
        "Repetitions left were not said, so nothing gets heavier: One hand press. What is the aim?"
    )
    assert questions([lifted(effort=None)])[0].about == "effort"


def test_a_movement_on_hold_is_not_asked_about_its_effort() -> None:
    for stage in Stage:
        away = left_out_after_pain(movement=HAND.slug, name="One hand press", stage=stage)
        (text,) = asked([lifted(effort=None)], left_out=[away])
        assert "Repetitions left" not in text


def test_a_movement_without_a_whole_set_is_not_asked_about_its_effort() -> None:
    at_once = journal(short_session().with_loads({HAND.slug: ToLift(load_g=8_000)}))
    assert asked([logged(at_once.write("ended", 15_000, ending="early"))]) == []


def test_a_lost_position_and_what_limits_often_are_asked_about() -> None:
    lost, grip = asked([lifted(form_held=False, limited_by="grip")])
    assert lost == "Form slipped: One hand press. An easier version, or less range?"
    assert grip == "Limited in 4 sets: One hand press, grip. Why?"
    assert asked([lifted(limited_by="muscle")]) == []


@pytest.mark.parametrize(
    "number, listed",
    [
        (1, "Both hands lift"),
        (2, "Both hands lift and One hand press"),
        (3, "Both hands lift, One hand press and One leg stand"),
        (4, "Both hands lift, One hand press and One leg stand; 1 more"),
        (5, "Both hands lift, One hand press and One leg stand; 2 more"),
    ],
)
def test_three_movements_are_named_and_the_rest_is_counted(number: int, listed: str) -> None:
    slugs = [one.slug for one in (BOTH, HAND, LEG, FLOOR, SIXTH)][:number]
    of = plan(work(*slugs, rounds=RoundsRange(min=1, max=1)), movements=(BOTH, HAND, LEG, FLOOR, SIXTH))
    made = session(of)
    lost = {done.key: SetAnswer(form_held=False) for done in record(made).sets}
    assert f"Form slipped: {listed}. An easier version, or less range?" in asked(
        [record(made, exceptions=lost)]
    )


def test_a_joint_that_limits_is_kept_back_with_the_pain() -> None:
    (found,) = questions([lifted(limited_by="joint")])
    assert found.about == "pain"


def test_a_session_below_the_minimum_and_what_is_given_up_in_most_are_asked_about() -> None:
    reasons = (hands_inside(20), swapped_for_a_knee())
    text = english(reasons[0].said)
    made = short_session().model_copy(update={"reasons": reasons, "below_minimum": True, "minutes": 12.5})
    week = [record(made, record_id=f"{n}", started_at=STARTED_AT + timedelta(days=n)) for n in range(2)]
    assert asked(week)[::2] == [
        "2 sessions were below the plan's minimum of rounds. Minutes: 12.5. Change the plan?",
        f"Is the plan too long? In 2 of 2 sessions: {text}",
    ]
    assert asked([*week[:1], lifted(1), lifted(2)])[-1].startswith("1 session was below")
    assert any("In 2 of 3 sessions" in one for one in asked([*week, lifted(2)]))
    assert not any("too long" in one for one in asked([*week, lifted(2), lifted(3)])), "half is not most"


def test_no_more_is_proposed_than_can_be_talked_through() -> None:
    many = [left_out_after_pain(movement=f"lunge-{n}") for n in range(MOST_PROPOSED + 3)]
    assert len(asked([], left_out=many)) == MOST_PROPOSED


def proposal(question: Message | None) -> LoadProposal:
    (exposure, *_) = exposures_of(lifted())
    return LoadProposal(
        key=exposure.key,
        name=HAND.name,
        step=LoadStep.same,
        load_g=8_000,
        tempo=exposure.key.tempo,
        reason=(SAME_AGAIN,),
        question=question,
    )


def test_what_a_proposal_asks_the_coach_is_asked_with_the_week_and_sides_only_once() -> None:
    records = [lifted(days, left=5) for days in range(3)]
    accounts = [one for made in records for one in exposures_of(made)]
    step, sides = message("outgrown"), side_question(Own(own=HAND.name), accounts)
    assert sides is not None
    made = [
        week_questions(page(records).sessions, accounts, (), today=SUNDAY, proposed=(proposal(one),))
        for one in (step, sides, None)
    ]
    about_sides = [one.said for one in made[2]]
    assert [one.said for one in made[0]] == [*about_sides, step]
    assert made[1] == made[2]
