"""What is asked after a session, and when."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import STARTED_AT, record

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
    assert (asked is not None and asked.asks_effort, asked is not None and asked.asks_morning) == (
        effort,
        morning,
    )


def test_an_answer_is_asked_for_once() -> None:
    now = ENDED + timedelta(hours=12)
    after_effort = follow_up([RECORD], [answer(AmendedField.effort)], now)
    assert after_effort is not None
    assert (after_effort.asks_effort, after_effort.asks_morning) == (False, True)
    both = [answer(AmendedField.effort), answer(AmendedField.soreness)]
    assert follow_up([RECORD], both, now) is None


def test_only_the_latest_session_is_asked_about() -> None:
    later = record(started_at=STARTED_AT + timedelta(days=1), record_id="later")
    asked = follow_up([later, RECORD], [], later.ended_at + timedelta(hours=1))
    assert asked is not None
    assert asked.record_id == "later"


def test_without_a_session_nothing_is_asked() -> None:
    assert follow_up([], [], ENDED) is None
