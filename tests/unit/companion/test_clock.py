"""The two clocks against each other."""

from datetime import UTC, datetime, timedelta, timezone

from hypothesis import given
from hypothesis import strategies as st

from companion.services.clock import ClockReading, SystemClock, diverged_ms, divergence_ms, read

NOON = datetime(2026, 3, 29, 0, 59, tzinfo=UTC)


def reading(*, monotonic_ms: int, wall_ms: int) -> ClockReading:
    return ClockReading(monotonic_ms=monotonic_ms, wall=NOON + timedelta(milliseconds=wall_ms))


def test_clocks_that_go_together_do_not_diverge() -> None:
    assert (
        divergence_ms(reading(monotonic_ms=5, wall_ms=0), reading(monotonic_ms=60_005, wall_ms=60_000)) == 0
    )


def test_a_sleep_that_the_monotonic_clock_did_not_count_shows_as_its_length() -> None:
    before, after = reading(monotonic_ms=0, wall_ms=0), reading(monotonic_ms=1_000, wall_ms=601_000)
    assert divergence_ms(before, after) == 600_000
    assert diverged_ms(before, after) == 600_000


def test_a_wall_clock_that_was_set_back_diverges_too() -> None:
    before, after = reading(monotonic_ms=0, wall_ms=0), reading(monotonic_ms=10_000, wall_ms=-3_600_000)
    assert diverged_ms(before, after) == -3_610_000


def test_two_seconds_are_still_tolerated_and_one_millisecond_more_is_not() -> None:
    start = reading(monotonic_ms=0, wall_ms=0)
    assert diverged_ms(start, reading(monotonic_ms=0, wall_ms=2_000)) == 0
    assert diverged_ms(start, reading(monotonic_ms=2_000, wall_ms=0)) == 0
    assert diverged_ms(start, reading(monotonic_ms=0, wall_ms=2_001)) == 2_001
    assert diverged_ms(start, reading(monotonic_ms=2_001, wall_ms=0)) == -2_001


def test_the_change_to_summer_time_is_no_divergence() -> None:
    """Lisbon goes from +00:00 to +01:00 at 2026-03-29T01:00Z (tz database); the instants are what counts."""
    before = ClockReading(monotonic_ms=0, wall=NOON.astimezone(timezone(timedelta(0))))
    after = ClockReading(
        monotonic_ms=120_000, wall=(NOON + timedelta(minutes=2)).astimezone(timezone(timedelta(hours=1)))
    )
    assert divergence_ms(before, after) == 0


@given(st.integers(0, 10**9), st.integers(0, 10**9), st.integers(-(10**9), 10**9))
def test_divergence_is_exactly_what_the_wall_clock_went_further(
    start: int, ran_ms: int, further_ms: int
) -> None:
    """Law: divergence(monotonic + d, wall + d + x) = x, to the millisecond, whatever the start."""
    before = reading(monotonic_ms=start, wall_ms=0)
    after = reading(monotonic_ms=start + ran_ms, wall_ms=ran_ms + further_ms)
    assert divergence_ms(before, after) == further_ms


def test_the_system_clock_goes_on_and_knows_its_zone() -> None:
    first, second = read(SystemClock()), read(SystemClock())
    assert first.monotonic_ms <= second.monotonic_ms
    assert first.wall.utcoffset() == timedelta(0)
