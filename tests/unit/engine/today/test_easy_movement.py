"""When easy movement is offered on a day without a strength session, and what it is made of."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from builders import STARTED_AT, adjustment, easy_session, pain, record

from engine.base.units import MS_PER_MIN
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.movements.room import SoreJoint
from engine.record.history import History, history_of
from engine.record.profile import ProfileFlag
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Pace
from engine.today.cautions import CAUTIONS
from engine.today.day import Today
from engine.today.easy_movement import (
    AIM_MIN,
    LONGEST_MIN,
    NAME,
    REST_S,
    RULES,
    SHORTEST_MIN,
    WORK_S,
    EasyMovement,
    easy_movement,
)
from engine.today.learned import Learned
from engine.today.no_session import AboutPain, no_session

KNEE = SoreJoint(joint=Joint.knee, side=Side.left, rating=7)
SHOULDER = SoreJoint(joint=Joint.shoulder, side=Side.right, rating=6)
NONE_OF_THEM = dict.fromkeys(AboutPain, False)
NOBODY = Learned.from_history(History())


def today(*sore: SoreJoint, **fields: Any) -> Today:
    return Today(**({"day": STARTED_AT.date(), "minutes": 30, "sore": sore or (KNEE,)} | fields))


def offered(on: Today, *, again: bool = False, **changed: Any) -> EasyMovement | None:
    why = no_session(on.sore, again=again)
    assert why is not None
    known = {"answers": NONE_OF_THEM, "learned": NOBODY} | changed
    return easy_movement(why, known["answers"], on, known["learned"], known.get("adjustments", ()))


def names(session: FittedSession | None) -> list[str]:
    assert session is not None
    return [item.chosen.movement for block in session.blocks for item in block.items]


def test_it_is_offered_once_every_question_is_answered_with_no() -> None:
    said: dict[AboutPain, bool] = {}
    for about in AboutPain:
        assert offered(today(), answers=said) is None
        said[about] = False
    found = offered(today(), answers=said)
    assert found is not None
    assert found.session is not None


@pytest.mark.parametrize("about", AboutPain)
def test_any_yes_means_none(about: AboutPain) -> None:
    assert offered(today(), answers=NONE_OF_THEM | {about: True}) is None


@pytest.mark.parametrize(
    "sore",
    [
        (KNEE, SHOULDER),
        (KNEE, KNEE.model_copy(update={"side": Side.right})),
        (SoreJoint(joint=Joint.neck, rating=6),),
        (SoreJoint(joint=Joint.low_back, rating=9),),
    ],
)
def test_two_joints_the_neck_and_the_low_back_mean_none(sore: tuple[SoreJoint, ...]) -> None:
    assert offered(today(*sore)) is None


def test_a_second_joint_below_six_does_not_forbid_it() -> None:
    assert offered(today(KNEE, SHOULDER.model_copy(update={"rating": 5}))) is not None


def test_the_second_such_day_of_seven_means_a_clinician_first() -> None:
    assert offered(today(), again=True) is None


def test_a_sign_of_injury_noted_today_means_none_whatever_is_answered() -> None:
    assert offered(today(spared=((Joint.knee, Side.left),))) is None
    assert offered(today(spared=((Joint.wrist, Side.left),))) is not None


def test_a_knee_gets_eight_minutes_of_arms_and_trunk_on_the_clock() -> None:
    session = easy_session()
    assert names(session) == ["arm-circles", "trunk-turns", "shoulder-rolls", "wrist-circles"]
    assert (session.easy_movement, session.plan_name, session.minutes) == (True, NAME, AIM_MIN)
    work = [one for one in session.segments if one.kind is Kind.work]
    rests = [one for one in session.segments if one.kind is Kind.rest]
    assert {one.planned_ms for one in work} == {WORK_S * 1000}
    assert {one.planned_ms for one in rests} == {REST_S * 1000}
    assert len(work) == len(rests) + 1 == 8, "two rounds of four"
    assert {one.pace for one in session.segments} == {Pace.clock}
    assert session.stop_rules == RULES
    assert session.reasons == ()


def test_there_is_no_tempo_to_keep_up_with() -> None:
    assert {item.tempo for block in easy_session().blocks for item in block.items} == {None}


def test_walking_comes_first_where_the_legs_may_move() -> None:
    for joint in (Joint.wrist, Joint.elbow, Joint.shoulder):
        assert names(easy_session(joint))[0] == "march-in-place"


@pytest.mark.parametrize(
    "minutes, expected_s", [(5, 350), (6, 350), (7, 350), (8, 470), (30, 470), (120, 470)]
)
def test_it_follows_the_minutes_but_never_under_five_or_over_ten(minutes: int, expected_s: int) -> None:
    """10 s of lead-in, 40 s for each movement and 20 s of rest between: six of them 5:50, eight 7:50."""
    session = easy_session(minutes=minutes)
    assert session.total_ms == expected_s * 1000
    assert SHORTEST_MIN * MS_PER_MIN <= session.total_ms <= LONGEST_MIN * MS_PER_MIN


def test_two_movements_are_enough_and_one_is_not() -> None:
    breathing = {"flags": (ProfileFlag.after_birth,)}
    two = easy_session(**breathing)
    assert names(two) == ["seated-breath", "standing-breath"]
    assert two.total_ms == 470_000, "four rounds of two last 7:50, which is nearer to eight minutes than 5:50"
    found = offered(today(without=(Equipment.chair,), **breathing))
    assert found is not None
    assert found.session is None


def test_pain_elsewhere_spares_that_joint_too() -> None:
    hip = SoreJoint(joint=Joint.hip, side=Side.right, rating=3)
    assert "march-in-place" in names(easy_session(Joint.wrist))
    assert "march-in-place" not in names(easy_session(Joint.wrist, also_sore=(hip,)))


def test_what_is_left_out_after_pain_does_not_come_back_as_easy_movement() -> None:
    hurt = pain(movement="arm-circles", rating=4, joint=Joint.shoulder)
    before = record(easy_session(), started_at=STARTED_AT - timedelta(days=2))
    learned = Learned.from_history(history_of([before.model_copy(update={"pains": (hurt,)})]))
    free_today = today(rated=frozenset({(Joint.shoulder, Side.left)}))
    found = offered(free_today, learned=learned)
    assert found is not None
    assert "arm-circles" not in names(found.session)


def test_what_the_coach_spares_and_leaves_out_stays_out() -> None:
    leaves_out = {"kind": "leave_out", "movement": "trunk-turns"}
    spares = {"kind": "spare", "joint": "wrist", "side": "left"}
    found = offered(today(), adjustments=(adjustment(changes=(leaves_out, spares)),))
    assert found is not None
    assert not {"trunk-turns", "wrist-circles"} & set(names(found.session))


def test_a_coach_who_limits_the_rounds_does_not_shorten_it() -> None:
    limit = {"kind": "rounds", "rounds": 1}
    found = offered(today(), adjustments=(adjustment(changes=(limit,)),))
    assert found is not None
    assert found.session == easy_session()


def test_nothing_brings_a_weight_or_the_floor_in_on_the_run() -> None:
    session = easy_session(kit=Kit.pair)
    assert session.kit is Kit.none
    assert Equipment.floor in session.room.without


def test_the_cautions_of_the_profile_stand_beside_it() -> None:
    found = offered(today(flags=(ProfileFlag.high_blood_pressure,)))
    assert found is not None
    assert found.cautions == (CAUTIONS[ProfileFlag.high_blood_pressure],)


def test_the_same_day_gives_the_same_session_so_that_a_reload_shows_what_was_shown() -> None:
    assert easy_session().id == easy_session().id != easy_session(Joint.hip).id
