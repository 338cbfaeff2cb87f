"""The clock: the one place of the application that reads the time.

Session time runs on the monotonic clock and never moves by the wall clock. The two are compared so that a
sleeping or suspended computer, or a clock that somebody set, is noticed and asked about instead of being
counted as training.
"""

from __future__ import annotations

import time
from datetime import UTC, datetime
from typing import Protocol

from pydantic import BaseModel, ConfigDict

DIVERGENCE_LIMIT_MS = 2_000


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
