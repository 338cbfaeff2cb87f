"""When a lighter week is proposed, and what it is."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta

from accounts import TODAY, account

from companion.words.words import ENGLISH
from engine.growth.lighter_week import lighter_week
from engine.record.exposure import Exposure
from engine.record.history import History, SessionCount


def count(day: date, done: int = 9, planned: int = 9) -> SessionCount:
    return SessionCount(at=datetime.combine(day, time(18), UTC), local_date=day, done=done, planned=planned)


def week_of(weeks_ago: int, done: int = 9, planned: int = 9) -> SessionCount:
    """A session on the Monday of a week."""
    return count(TODAY - timedelta(weeks=weeks_ago), done, planned)


def past(counts: Iterable[SessionCount], exposures: Iterable[Exposure] = ()) -> History:
    known = tuple(sorted(counts, key=lambda one: one.at))
    return History(days=tuple(one.local_date for one in known), counts=known, exposures=tuple(exposures))


def test_a_lighter_week_is_proposed_after_four_weeks_in_a_row() -> None:
    """One round fewer, two from five, the load kept, one more in reserve. † Our judgement, no source."""
    four = [week_of(n) for n in (4, 3, 2, 1)]
    assert not lighter_week(past(four[1:]), TODAY)
    said = ENGLISH.sentences(lighter_week(past(four), TODAY))
    assert said.startswith("4 weeks of training in a row")
    assert "one round fewer, two fewer from five rounds on, the same weights" in said
    assert "one repetition more left" in said
    assert "The choice is yours" in said


def test_a_week_of_which_less_than_eighty_percent_was_done_does_not_count() -> None:
    weeks = [week_of(4), week_of(3), week_of(2)]
    assert lighter_week(past([*weeks, week_of(1, done=8, planned=10)]), TODAY)
    assert not lighter_week(past([*weeks, week_of(1, done=7, planned=10)]), TODAY)


def test_a_free_or_lighter_week_starts_the_count_anew() -> None:
    six = [week_of(n) for n in (6, 5, 4, 3, 2, 1)]
    assert "6 weeks" in ENGLISH.sentences(lighter_week(past(six), TODAY))
    assert not lighter_week(past([*six[:2], *six[3:]]), TODAY)
    lighter = [*six[:2], week_of(4, done=6, planned=6), *six[3:]]
    assert not lighter_week(past(lighter), TODAY)
    nearly = [*six[:2], week_of(4, done=7, planned=7), *six[3:]]
    assert lighter_week(past(nearly), TODAY)


def test_a_lighter_week_has_two_thirds_of_the_week_before_at_most() -> None:
    """67 of 100 sets. † Our judgement, no source."""
    for sets, proposed in ((67, False), (68, True)):
        weeks = [week_of(n, *((sets, sets) if n == 3 else (100, 100))) for n in (5, 4, 3, 2, 1)]
        assert bool(lighter_week(past(weeks), TODAY)) == proposed


def test_a_gap_of_seven_free_days_replaces_it() -> None:
    weeks = [week_of(n) for n in (5, 4, 3, 2, 1)]
    assert not lighter_week(past(weeks), TODAY + timedelta(days=1)), "seven days without a session"
    moved = [*weeks[:2], count(TODAY - timedelta(days=20)), *weeks[3:]]
    assert not lighter_week(past(moved), TODAY), "eight days apart in the middle"


def test_two_sessions_in_a_row_with_a_signal_ask_for_it_sooner() -> None:
    """Form slipped, or 0–1 left. † Our judgement, no source."""
    counts = [count(TODAY - timedelta(days=days)) for days in (6, 3)]
    slipped, empty, fine = (
        account(6, form_kept=False),
        account(3, effort=9),
        account(3, record_id="record-fine"),
    )
    assert "in the last 2 sessions" in ENGLISH.sentences(lighter_week(past(counts, [slipped, empty]), TODAY))
    assert not lighter_week(past(counts, [slipped, fine]), TODAY)
    assert not lighter_week(past(counts, [empty]), TODAY)
