"""The clock: the one place of the application that reads the time.

Session time runs on the monotonic clock and never moves by the wall clock. The two are compared so that a
sleeping or suspended computer, or a clock that somebody set, is noticed and asked about instead of being
counted as training.
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
SLEPT_MS = 10_000
"""Looked at so seldom, the clock of the session counted a sleep: some do. † Our judgement, no source."""


class Clock(Protocol):
    def monotonic_ms(self) -> int:
        """Milliseconds since an arbitrary start; never goes back, may stand still in a sleep."""
        ...

    def now(self) -> datetime:
        """The wall clock as an aware instant in UTC."""
        ...


class SystemClock:
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
    return ClockReading(monotonic_ms=clock.monotonic_ms(), wall=clock.now())


def divergence_ms(earlier: ClockReading, later: ClockReading) -> int:
    """How much further the wall clock went than the monotonic one between two readings.

    Positive after a sleep that the monotonic clock did not count, or a wall clock set forward; negative after
    a wall clock set back. Both readings are taken from the same process, `later` after `earlier`.
    """
    wall = later.wall - earlier.wall
    wall_ms = (wall.days * 86_400 + wall.seconds) * 1_000 + wall.microseconds // 1_000
    return wall_ms - (later.monotonic_ms - earlier.monotonic_ms)


def diverged_ms(earlier: ClockReading, later: ClockReading, *, limit_ms: int = DIVERGENCE_LIMIT_MS) -> int:
    """The divergence where it is more than the limit, either way, else 0: the session pauses and asks."""
    further_ms = divergence_ms(earlier, later)
    return further_ms if abs(further_ms) > limit_ms else 0


def slept_ms(earlier: ClockReading, later: ClockReading) -> int:
    """How long nobody looked at the clock, where that is so long that the computer slept, else 0."""
    apart_ms = later.monotonic_ms - earlier.monotonic_ms
    return apart_ms if apart_ms > SLEPT_MS else 0


def local_zone(
    *, environment: Mapping[str, str] = os.environ, localtime: Path = Path("/etc/localtime")
) -> str:
    """The IANA name of this computer's time zone, for where no page tells it.

    From the variable TZ (POSIX) or the link that the system keeps; elsewhere the zone of today's whole hours
    from UTC (``Etc/GMT-2`` is two hours ahead), which does not know of daylight saving.
    """
    named = environment.get("TZ", "").removeprefix(":")
    linked = localtime.resolve().as_posix().partition("/zoneinfo/")[2] if localtime.is_symlink() else ""
    for name in (named, linked):
        if name and _is_zone(name):
            return name
    offset = datetime.now().astimezone().utcoffset() or timedelta(0)
    hours = round(offset / timedelta(hours=1))
    return f"Etc/GMT{-hours:+d}" if hours else "UTC"


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
