"""Durations and loads, as people write and read them."""

from __future__ import annotations

import pytest

from engine.base.units import LoadUnit, format_duration, format_load, grams, load_in, ms, seconds


@pytest.mark.parametrize(
    "duration_ms, shown",
    [(0, "0:00"), (1, "0:01"), (59_001, "1:00"), (60_000, "1:00"), (3_600_000, "1:00:00")],
)
def test_a_running_clock_never_shows_nothing_early(duration_ms: int, shown: str) -> None:
    assert format_duration(duration_ms) == shown


def test_whole_seconds_are_integers_and_others_keep_their_milliseconds() -> None:
    assert (seconds(27_500), seconds(27_000)) == (27.5, 27)
    assert isinstance(seconds(27_000), int)
    assert ms(27.5) == 27_500


@pytest.mark.parametrize(
    "written, load_g", [("12.5", 12_500), ("12,5", 12_500), (" 8 ", 8_000), (0, 0), (500, 500_000)]
)
def test_a_load_is_read_with_comma_or_point(written: str | float, load_g: int) -> None:
    assert grams(written) == load_g


@pytest.mark.parametrize("written", ["", "twelve", "nan", "inf", "-1", "501", "1e9"])
def test_what_is_no_load_is_refused(written: str) -> None:
    with pytest.raises(ValueError, match="is not a load"):
        grams(written)


def test_a_load_is_shown_without_needless_zeros() -> None:
    assert (format_load(12_500), format_load(20_000), format_load(0)) == ("12.5 kg", "20 kg", "0 kg")
    assert format_load(grams(25, LoadUnit.lb), LoadUnit.lb) == "25 lb"


@pytest.mark.parametrize("pounds", range(1, 201))
def test_whole_pounds_survive_being_stored_as_grams(pounds: int) -> None:
    assert round(load_in(grams(pounds, LoadUnit.lb), LoadUnit.lb), 1) == pounds
