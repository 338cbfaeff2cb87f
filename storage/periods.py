"""Periods of local dates: a month such as 2026-03, or an ISO week such as 2026-W11."""

from __future__ import annotations

import re
from datetime import date

from engine.review import days_of, iso_week

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
