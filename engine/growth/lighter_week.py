"""When to propose a lighter week."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from engine.load.rules import OURS
from engine.record.exposure import Exposure

LIGHTER_WEEK_AFTER, LIGHTER_WEEK_BEFORE = 4, 6
"""After this many weeks of training, and at the latest after that many. † Our judgement, no source."""
LIGHTER_SHARE_PERCENT = 67
"""A week with at most this share of the sets of the week before was a lighter one. † Our judgement, no
source."""


def lighter_week(history: Iterable[Exposure], today: date) -> str | None:
    """A proposal of a lighter week, in a sentence, after four weeks of training without one; else None.

    Counts the ISO weeks before today's, back to a week without training or with at most two thirds of the
    sets of the week before. † Our judgement: every 4–6 weeks.
    """
    sets: dict[date, int] = {}
    for exposure in history:
        monday = _monday(exposure.local_date)
        sets[monday] = sets.get(monday, 0) + len(exposure.sets)
    weeks, week = 0, _monday(today) - timedelta(weeks=1)
    while sets.get(week, 0) and not _was_lighter(sets[week], sets.get(week - timedelta(weeks=1), 0)):
        weeks, week = weeks + 1, week - timedelta(weeks=1)
    if weeks < LIGHTER_WEEK_AFTER:
        return None
    return (
        f"{weeks} weeks of training in a row: a lighter week is proposed every {LIGHTER_WEEK_AFTER} to "
        f"{LIGHTER_WEEK_BEFORE} weeks, with the same loads and fewer rounds. The choice is yours. {OURS}"
    )


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _was_lighter(sets: int, before: int) -> bool:
    return sets * 100 <= before * LIGHTER_SHARE_PERCENT
