"""Periods of local dates: a month such as 2026-03, or an ISO week such as 2026-W11."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Annotated

from pydantic import AfterValidator, Field

MOST_WEEKS = 520
"""Ten years."""


def _a_week(written: str) -> str:
    if iso_week(days_of(written)[0]) != written:
        raise ValueError(f"“{written}” is not an ISO week such as 2026-W09.")
    return written


IsoWeek = Annotated[str, Field(pattern=r"^(19|20|21)\d\d-W\d\d$"), AfterValidator(_a_week)]


def weeks_until(last: str, weeks: int) -> tuple[str, ...]:
    """So many ISO weeks, the earliest first, ``last`` included."""
    return tuple(week_before(last, back) for back in reversed(range(weeks)))


def iso_week(day: date) -> str:
    """The ISO 8601 week of a date, for example 2026-W01 for 2025-12-29."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def days_of(week: str) -> tuple[date, ...]:
    """The seven dates of an ISO week, Monday first. Raises ValueError when it is not a week."""
    year, _, number = week.partition("-W")
    monday = date.fromisocalendar(int(year), int(number), 1)
    return tuple(monday + timedelta(days=step) for step in range(7))


def week_before(week: str, weeks: int = 1) -> str:
    return iso_week(days_of(week)[0] - timedelta(weeks=weeks))


_MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])")


def month_of(day: date) -> str:
    return f"{day:%Y-%m}"


def is_month(period: str) -> bool:
    return _MONTH.fullmatch(period) is not None


def months_of(period: str) -> tuple[str, ...]:
    """The months that a period touches, in order: one, or two for a week across a month's end.

    Raises ValueError when it is neither a month nor an ISO week.
    """
    if is_month(period):
        return (period,)
    return tuple(sorted({month_of(day) for day in days_of(period)}))


def is_within(day: date, period: str) -> bool:
    return period in (month_of(day), iso_week(day))
