"""When to propose a lighter week, and what it is. It is proposed and never forced."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from engine.base.message import Count, Said, message
from engine.load.clear import reserve_of
from engine.load.rules import OURS
from engine.load.too_hard import LITTLE_IN_RESERVE
from engine.record.exposure import Exposure
from engine.record.history import History, SessionCount

LIGHTER_WEEK_AFTER = 4
"""Weeks of training without one. † Our judgement, no source."""
MOSTLY_DONE_PERCENT = 80
"""A week counts where so much of what was planned was done. † Our judgement, no source."""
LIGHTER_SHARE_PERCENT = 67
"""A week with at most this share of the sets of the week before was a lighter one. † Our judgement, no
source."""
SIGNAL_SESSIONS = 2
"""So many sessions in a row with a signal of the record ask for a lighter week sooner. † Our judgement, no
source."""
FREE_DAYS = 7
"""A gap of as many days replaces a lighter week. † Our judgement, no source."""
WHAT = (message("lighter_week_is_proposed"), OURS)


def lighter_week(history: History, today: date) -> Said:
    """A proposal of a lighter week; nothing where there is no reason for one.

    After four ISO weeks before today's with 80 % or more done and no lighter one among them; or after two
    sessions in a row in which form slipped or 0–1 repetitions were left. Seven free days replace it.
    """
    if not history.days or _free_days(history.days[-1], today) >= FREE_DAYS:
        return ()
    weeks = _weeks_in_a_row(history.counts, today)
    if weeks >= LIGHTER_WEEK_AFTER:
        return message("weeks_in_a_row", weeks=Count(count=weeks)), *WHAT
    if _all_with_a_signal(history.exposures):
        return message("slipped_or_empty_in_a_row", sessions=Count(count=SIGNAL_SESSIONS)), *WHAT
    return ()


def _weeks_in_a_row(counts: Iterable[SessionCount], today: date) -> int:
    """The ISO weeks before today's, back to one that was free, lighter or mostly left undone."""
    by_week: dict[date, list[SessionCount]] = {}
    for one in counts:
        by_week.setdefault(_monday(one.local_date), []).append(one)
    weeks, week = 0, _monday(today) - timedelta(weeks=1)
    while week in by_week and _counts(by_week, week):
        weeks, week = weeks + 1, week - timedelta(weeks=1)
    return weeks


def _counts(by_week: dict[date, list[SessionCount]], week: date) -> bool:
    own, before = by_week[week], by_week.get(week - timedelta(weeks=1), [])
    done, planned = sum(one.done for one in own), sum(one.planned for one in own)
    was_lighter = done * 100 <= sum(one.done for one in before) * LIGHTER_SHARE_PERCENT
    after_a_gap = bool(before) and _free_days(before[-1].local_date, own[0].local_date) >= FREE_DAYS
    return done * 100 >= planned * MOSTLY_DONE_PERCENT and not was_lighter and not after_a_gap


def _all_with_a_signal(exposures: Iterable[Exposure]) -> bool:
    """Whether each of the last two sessions has a signal."""
    by_session: dict[str, list[Exposure]] = {}
    for one in sorted(exposures, key=lambda one: (one.started_at, one.record_id)):
        by_session.setdefault(one.record_id, []).append(one)
    last = list(by_session.values())[-SIGNAL_SESSIONS:]
    return len(last) == SIGNAL_SESSIONS and all(any(map(_is_signal, session)) for session in last)


def _is_signal(exposure: Exposure) -> bool:
    left = reserve_of(exposure)
    slipped = not (exposure.form_kept and exposure.range_kept)
    return slipped or (left is not None and left <= LITTLE_IN_RESERVE)


def _free_days(before: date, after: date) -> int:
    """The days between two that had no session."""
    return (after - before).days - 1


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
