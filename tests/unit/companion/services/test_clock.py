"""The monotonic clock and the wall clock compared."""

import time
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from companion.services.clock import ClockReading, SystemClock, diverged_ms, divergence_ms, local_zone, read

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
    """Lisbon goes from +00:00 to +01:00 at 2026-03-29T01:00Z (tz database); only the moments count."""
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


def test_the_zone_is_the_one_that_the_variable_names(tmp_path: Path) -> None:
    """TZ with a leading colon: POSIX.1-2024, section 8.3 (from memory)."""
    assert local_zone(environment={"TZ": "Europe/Lisbon"}, localtime=tmp_path / "none") == "Europe/Lisbon"
    assert local_zone(environment={"TZ": ":Asia/Kolkata"}, localtime=tmp_path / "none") == "Asia/Kolkata"


def test_else_the_zone_is_the_one_that_the_system_links_to(tmp_path: Path) -> None:
    link = tmp_path / "localtime"
    link.symlink_to("/usr/share/zoneinfo/America/Halifax")
    assert local_zone(environment={}, localtime=link) == "America/Halifax"
    assert local_zone(environment={"TZ": "WST-11WDT"}, localtime=link) == "America/Halifax"


def test_else_the_zone_has_the_hours_of_today(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Etc/GMT-2 lies two hours ahead of UTC: the sign of the IANA database's Etc area is POSIX's."""
    monkeypatch.setenv("TZ", "WST-11")
    time.tzset()
    named = local_zone(environment={}, localtime=tmp_path / "none")
    monkeypatch.delenv("TZ")
    time.tzset()
    assert datetime(2026, 3, 1, tzinfo=ZoneInfo(named)).utcoffset() == timedelta(hours=11)
