"""Weeks and months of local dates, written as text: an ISO 8601 week as 2026-W11, a month as 2026-03.

A week belongs to the year of its Thursday and starts on Monday. Texts of one kind sort by time.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Annotated

from pydantic import AfterValidator, Field

from engine.base.issue import WrongValue, echo
from engine.base.message import message


def iso_week(day: date) -> str:
    """The ISO 8601 week of a date, for example 2026-W01 for 2025-12-29."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def days_of(week: str) -> tuple[date, ...]:
    """The seven dates of an ISO week, Monday first. Raises ValueError for what is not a week."""
    year, _, number = week.partition("-W")
    monday = date.fromisocalendar(int(year), int(number), 1)
    return tuple(monday + timedelta(days=after) for after in range(7))


def week_before(week: str, weeks: int = 1) -> str:
    """The ISO week ``weeks`` before this one; a negative number gives a later week."""
    return iso_week(days_of(week)[0] - timedelta(weeks=weeks))


def weeks_until(last: str, weeks: int) -> tuple[str, ...]:
    """The ``weeks`` ISO weeks that end with ``last``, the earliest first."""
    return tuple(week_before(last, back) for back in reversed(range(weeks)))


def _checked_week(written: str) -> str:
    if iso_week(days_of(written)[0]) != written:
        raise WrongValue(message("not_a_week", written=echo(written)))
    return written


IsoWeek = Annotated[str, Field(pattern=r"^(19|20|21)\d\d-W\d\d$"), AfterValidator(_checked_week)]
"""A field of a document that holds an ISO week between 1900 and 2199."""

_MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])")


Month = Annotated[str, Field(pattern=r"^\d{4}-(0[1-9]|1[0-2])$")]
"""A field of a document that holds a month such as 2026-03."""


def month_of(day: date) -> str:
    """The month of a date, for example 2025-12 for 2025-12-29."""
    return f"{day:%Y-%m}"


def is_month(period: str) -> bool:
    """Whether a text is a month such as 2026-03."""
    return _MONTH.fullmatch(period) is not None


def months_of(period: str) -> tuple[str, ...]:
    """The months that a month or an ISO week touches, in order: one, or two for a week across a month's end.

    Raises ValueError when the text is neither a month nor an ISO week.
    """
    if is_month(period):
        return (period,)
    return tuple(sorted({month_of(day) for day in days_of(period)}))
