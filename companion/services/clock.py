"""The clock: the only place in the application that reads the time.

Session time runs on the monotonic clock alone. Comparing it with the wall clock shows when the computer slept
or somebody set the clock, so that the application asks instead of counting that time as training.
"""

from __future__ import annotations

import os
import time
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import BaseModel, ConfigDict

DIVERGENCE_LIMIT_MS = 2_000
"""The session pauses and asks when the two clocks come further apart than this: after a sleep that the
monotonic clock did not count, or a wall clock that was set. † Our judgement, no source."""
SLEPT_MS = 10_000
"""The computer slept when nobody looked at the clock for longer than this: some monotonic clocks go on in a
sleep. † Our judgement, no source."""


class Clock(Protocol):
    """What tells the time; tests move theirs by hand."""

    def monotonic_ms(self) -> int:
        """Milliseconds since an arbitrary start. Never goes back; may stop while the computer sleeps."""
        ...

    def now(self) -> datetime:
        """The wall clock, as an aware moment in UTC."""
        ...


class SystemClock:
    """The clock of this computer."""

    def monotonic_ms(self) -> int:
        return time.monotonic_ns() // 1_000_000

    def now(self) -> datetime:
        return datetime.now(UTC)


class ClockReading(BaseModel):
    """Both clocks read at the same moment."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    monotonic_ms: int
    wall: datetime


def read(clock: Clock) -> ClockReading:
    """Reads both clocks now."""
    return ClockReading(monotonic_ms=clock.monotonic_ms(), wall=clock.now())


def divergence_ms(earlier: ClockReading, later: ClockReading) -> int:
    """How much further the wall clock went than the monotonic one between two readings of one process.

    Positive after a sleep that the monotonic clock did not count, and after the wall clock was set forward;
    negative after it was set back.
    """
    wall = later.wall - earlier.wall
    wall_ms = (wall.days * 86_400 + wall.seconds) * 1_000 + wall.microseconds // 1_000
    return wall_ms - (later.monotonic_ms - earlier.monotonic_ms)


def diverged_ms(earlier: ClockReading, later: ClockReading, *, limit_ms: int = DIVERGENCE_LIMIT_MS) -> int:
    """The divergence where it is beyond the limit either way, so that the session pauses and asks; else 0."""
    further_ms = divergence_ms(earlier, later)
    return further_ms if abs(further_ms) > limit_ms else 0


def slept_ms(earlier: ClockReading, later: ClockReading) -> int:
    """The time between two readings where it is so long that the computer slept; else 0."""
    apart_ms = later.monotonic_ms - earlier.monotonic_ms
    return apart_ms if apart_ms > SLEPT_MS else 0


def local_zone(
    *, environment: Mapping[str, str] = os.environ, localtime: Path = Path("/etc/localtime")
) -> str:
    """The IANA name of this computer's time zone, for windows without a page that tells it.

    Taken from the variable TZ (POSIX) or the link that the system keeps. Elsewhere it is today's distance
    from UTC in whole hours (``Etc/GMT-2`` is two hours ahead), which knows no daylight saving.
    """
    named = environment.get("TZ", "").removeprefix(":")
    linked = localtime.resolve().as_posix().partition("/zoneinfo/")[2] if localtime.is_symlink() else ""
    for name in (named, linked):
        if name and is_zone(name):
            return name
    offset = datetime.now().astimezone().utcoffset() or timedelta(0)
    hours = round(offset / timedelta(hours=1))
    return f"Etc/GMT{-hours:+d}" if hours else "UTC"


def is_zone(name: str) -> bool:
    """Whether a name is that of a time zone known here."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
