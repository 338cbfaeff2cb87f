"""When a day of somebody who may train past midnight is over, told by moments that carry the local offset.

The wall clock decides when the night is over, the time that went by decides how long something was kept: so
neither a change of the clocks nor a journey cuts it short.
"""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

DAY_BEGINS = time(4)
"""By the wall clock. † Our judgement, no source."""
LEAST_KEPT = timedelta(hours=6)
"""What was said shortly before the day ends counts for this long. † Our judgement, no source."""


def day_ends(since: datetime) -> datetime:
    """The first end of a day after a moment, by the wall clock, without an offset."""
    wall = since.replace(tzinfo=None)
    return datetime.combine(wall.date() + timedelta(days=wall.time() >= DAY_BEGINS), DAY_BEGINS)


def day_is_over(since: datetime, now: datetime) -> bool:
    """Whether the day of a moment is over, never sooner than LEAST_KEPT after it.

    Both carry the offset of the place where they were told.
    """
    lasted = now.astimezone(UTC) - since.astimezone(UTC)
    return lasted >= LEAST_KEPT and now.replace(tzinfo=None) >= day_ends(since)
