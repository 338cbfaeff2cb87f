"""What is asked after a session, and when."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from builders import STARTED_AT, record
from pages import painful_record

from engine.movements.movement import Joint, Side
from engine.record.amendment import AmendedField, Amendment
from engine.record.follow_up import follow_up

RECORD = record(effort=6.0)
ENDED = RECORD.ended_at


def answer(field: AmendedField) -> Amendment:
    return Amendment(id=field, record_id=RECORD.id, at=ENDED, field=field, value=2)


@pytest.mark.parametrize(
    "later, effort, morning",
    [
        (timedelta(minutes=29), False, False),
        (timedelta(minutes=30), True, False),
        (timedelta(hours=12), True, True),
        (timedelta(hours=25), False, True),
        (timedelta(days=7), False, True),
        (timedelta(days=8), False, False),
    ],
)
def test_effort_is_asked_half_an_hour_later_and_soreness_the_next_mornings(later, effort, morning) -> None:
    """Started on a Monday at 18:30: twelve hours later it is Tuesday morning."""
    asked = follow_up([RECORD], [], ENDED + later)
    assert (asked is not None and asked.asks_effort, asked is not None and asked.asks_soreness) == (
        effort,
        morning,
    )


def test_an_answer_is_asked_for_once() -> None:
    now = ENDED + timedelta(hours=12)
    after_effort = follow_up([RECORD], [answer(AmendedField.effort)], now)
    assert after_effort is not None
    assert (after_effort.asks_effort, after_effort.asks_soreness) == (False, True)
    both = [answer(AmendedField.effort), answer(AmendedField.soreness)]
    assert follow_up([RECORD], both, now) is None


KNEE, ELBOW = (Joint.knee, Side.left), (Joint.elbow, Side.left)


def told(joint: str, rating: int) -> Amendment:
    value = {"joint": joint, "side": "left", "rating": rating}
    field = AmendedField.next_morning_pain
    return Amendment(id=joint, record_id="painful", at=ENDED, field=field, value=value)


def test_the_morning_after_is_asked_of_each_joint_that_hurt_before_or_in_the_session() -> None:
    hurt = painful_record()
    asked = follow_up([hurt], [], ENDED + timedelta(hours=12))
    assert asked is not None
    assert (asked.asks_joints, set(asked.joints)) == (True, {KNEE, ELBOW})
    one = follow_up([hurt], [told("knee", 0)], ENDED + timedelta(hours=12))
    assert one is not None
    assert one.joints == (ELBOW,)
    both = follow_up([hurt], [told("knee", 0), told("elbow", 2)], ENDED + timedelta(hours=12))
    assert both is not None
    assert (both.asks_joints, both.asks_soreness) == (False, True)


@pytest.mark.parametrize(
    ("now", "asks"),
    [
        ("2026-03-03 03:59", False),
        ("2026-03-03 04:00", True),
        ("2026-03-06 03:59", True),
        ("2026-03-06 04:00", False),
    ],
)
def test_joints_are_asked_about_from_the_next_local_day_for_72_hours(now: str, asks: bool) -> None:
    """It ends on Monday 2 March at 18:33; a day ends at 04:00 († ours, as are the 72 h)."""
    asked = follow_up([painful_record()], [], datetime.fromisoformat(f"{now}+00:00"))
    assert (asked is not None and asked.asks_joints) is asks


def test_a_joint_that_is_watched_is_asked_about_even_where_it_did_not_hurt() -> None:
    asked = follow_up([RECORD], [], ENDED + timedelta(hours=12), watched=[KNEE])
    assert asked is not None
    assert asked.joints == (KNEE,)


def test_only_the_latest_session_is_asked_about() -> None:
    later = record(started_at=STARTED_AT + timedelta(days=1), record_id="later")
    asked = follow_up([later, RECORD], [], later.ended_at + timedelta(hours=1))
    assert asked is not None
    assert asked.record_id == "later"


def test_without_a_session_nothing_is_asked() -> None:
    assert follow_up([], [], ENDED) is None
