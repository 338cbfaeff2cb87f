"""Weeks and months as text."""

from __future__ import annotations

from datetime import date

import pytest

from engine.base.periods import days_of, is_month, iso_week, months_of, week_before, weeks_until

WEEK = "2026-W10"
MONDAY = date(2026, 3, 2)


def test_a_week_has_seven_days_from_monday() -> None:
    days = days_of(WEEK)
    assert (days[0], len(days)) == (MONDAY, 7)
    assert {iso_week(day) for day in days} == {WEEK}
    assert week_before("2027-W01") == "2026-W53"


@pytest.mark.parametrize("wrong", ["2025-W53", "2026", "week", "2026-W00"])
def test_what_is_no_week_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError):
        days_of(wrong)


def test_weeks_are_counted_back_across_the_turn_of_a_year() -> None:
    """2026 has 53 weeks: ISO 8601."""
    assert weeks_until("2027-W01", 3) == ("2026-W52", "2026-W53", "2027-W01")


def test_a_week_across_a_month_end_touches_two_months() -> None:
    assert months_of("2026-03") == ("2026-03",)
    assert months_of("2026-W10") == ("2026-03",)
    assert months_of("2026-W14") == ("2026-03", "2026-04")
    with pytest.raises(ValueError):
        months_of("2026-13")


def test_a_month_has_four_digits_and_two() -> None:
    assert [is_month(period) for period in ("2026-12", "2026-13", WEEK)] == [True, False, False]
