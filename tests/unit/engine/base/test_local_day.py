"""A day ends at 04:00 by the wall clock, and no sooner than six hours after what was said († both ours)."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from engine.base.local_day import day_is_over


def at(written: str, zone: str = "UTC") -> datetime:
    """A moment by the wall clock of a zone, with its offset."""
    local = datetime.fromisoformat(written).replace(tzinfo=ZoneInfo(zone))
    return local.replace(tzinfo=timezone(local.utcoffset() or timedelta(0)))


@pytest.mark.parametrize(
    ("said", "still", "over"),
    [
        ("2026-03-02 18:30", "2026-03-03 03:59", "2026-03-03 04:00"),
        ("2026-03-02 04:00", "2026-03-03 03:59", "2026-03-03 04:00"),
        ("2026-03-02 23:30", "2026-03-03 05:29", "2026-03-03 05:30"),
        ("2026-03-03 00:10", "2026-03-03 06:09", "2026-03-03 06:10"),
        ("2026-03-03 03:59", "2026-03-03 09:58", "2026-03-03 09:59"),
    ],
)
def test_a_day_ends_at_four_but_what_was_said_late_counts_for_six_hours(
    said: str, still: str, over: str
) -> None:
    assert not day_is_over(at(said), at(still))
    assert day_is_over(at(said), at(over))


@pytest.mark.parametrize(
    ("said", "still", "over"),
    [
        # The clocks go forward at 02:00 (29 March 2026) and back at 03:00 (25 October 2026): EU directive
        # 2000/84/EC. Four o'clock is 5 h after 22:00 in the one night and 7 h after it in the other.
        ("2026-03-28 22:00", "2026-03-29 04:59", "2026-03-29 05:00"),
        ("2026-03-28 21:00", "2026-03-29 03:59", "2026-03-29 04:00"),
        ("2026-10-24 22:00", "2026-10-25 03:59", "2026-10-25 04:00"),
        ("2026-10-24 23:00", "2026-10-25 03:59", "2026-10-25 04:00"),
    ],
)
def test_the_wall_clock_and_the_hours_that_went_by_both_count_when_the_clocks_change(
    said: str, still: str, over: str
) -> None:
    berlin = "Europe/Berlin"
    assert not day_is_over(at(said, berlin), at(still, berlin))
    assert day_is_over(at(said, berlin), at(over, berlin))


def test_a_journey_does_not_end_the_day_before_it_is_four_where_the_person_is() -> None:
    said = at("2026-03-02 20:00", "Asia/Tokyo")
    assert not day_is_over(said, at("2026-03-02 20:30", "Europe/Berlin"))
    assert not day_is_over(said, at("2026-03-03 03:59", "Europe/Berlin"))
    assert day_is_over(said, at("2026-03-03 04:00", "Europe/Berlin"))


def test_a_clock_that_was_set_back_ends_nothing() -> None:
    assert not day_is_over(at("2026-03-02 18:30"), at("2026-03-01 05:00"))
