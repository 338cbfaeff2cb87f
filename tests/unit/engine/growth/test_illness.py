"""No session while ill and for a day after, then two easy ones."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from companion.words.words import ENGLISH
from engine.growth.illness import (
    Illness,
    easy_session,
    is_ill,
    still_known,
    why_no_session_yet,
    with_illness,
)
from engine.today.said import pruned, with_illness_said, with_sore_muscles

NOW = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
GONE = Illness(said_at=NOW - 2 * DAY, gone_at=NOW)


def said(known: Illness, now: datetime) -> str:
    why = why_no_session_yet(known, now)
    return ENGLISH.say(why) if why else ""


def test_it_lasts_until_it_is_said_to_be_gone() -> None:
    ill = with_illness(None, ill=True, now=NOW)
    assert ill is not None
    assert is_ill(ill)
    assert with_illness(ill, ill=True, now=NOW + DAY) == ill
    assert "see a clinician before you train" in said(ill, NOW + 30 * DAY)
    assert with_illness(None, ill=False, now=NOW) is None
    gone = with_illness(ill, ill=False, now=NOW + DAY)
    assert gone == Illness(said_at=NOW, gone_at=NOW + DAY)
    assert with_illness(gone, ill=False, now=NOW + 2 * DAY) == gone
    assert with_illness(gone, ill=True, now=NOW + 2 * DAY) == Illness(said_at=NOW + 2 * DAY)


def test_there_is_no_session_until_24_hours_clear() -> None:
    """† Our judgement, no source."""
    assert why_no_session_yet(None, NOW) is None
    assert "Tuesday 3 March, 18:30: 24 hours after" in said(GONE, NOW + 23 * HOUR)
    assert why_no_session_yet(GONE, NOW + DAY) is None
    assert easy_session(GONE, (), NOW + 23 * HOUR) == 0


def test_then_two_sessions_are_easy_and_after_them_it_is_forgotten() -> None:
    """† Our judgement, no source."""
    before, one, two = NOW - 5 * DAY, NOW + 2 * DAY, NOW + 4 * DAY
    later = NOW + 6 * DAY
    assert easy_session(GONE, (before,), later) == 1
    assert easy_session(GONE, (before, one), later) == 2
    assert easy_session(GONE, (before, one, two), later) == 0
    assert still_known(GONE, (before, one), later) == GONE
    assert still_known(GONE, (before, one, two), later) is None
    assert still_known(GONE, (), NOW + HOUR) == GONE


def test_what_was_said_of_it_outlives_the_day_and_other_answers() -> None:
    said = with_sore_muscles(with_illness_said(None, ill=True, now=NOW), 2, NOW + 2 * DAY)
    assert said.illness == Illness(said_at=NOW)
    assert pruned(said, (), NOW + 9 * DAY).illness == Illness(said_at=NOW)
    assert with_illness_said(None, ill=False, now=NOW).illness is None
