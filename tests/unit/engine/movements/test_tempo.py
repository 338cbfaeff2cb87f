"""The tempo of a repetition."""

from __future__ import annotations

import pytest

from engine.movements.tempo import (
    parse_tempo,
    paused,
    predicted_repetitions,
    tempo_sentence,
    time_under_tension_ms,
)


def test_the_first_number_is_the_lowering() -> None:
    phases = parse_tempo("3-1-2-0")
    assert (phases.lowering_s, phases.bottom_s, phases.lifting_s, phases.top_s) == (3, 1, 2, 0)
    assert phases.repetition_ms == 6_000


def test_as_fast_as_possible_has_no_duration() -> None:
    assert parse_tempo("2-0-X-0").repetition_ms is None
    assert predicted_repetitions(40_000, "2-0-X-0") is None
    assert time_under_tension_ms(40_000, "2-0-X-0") is None


def test_only_whole_repetitions_are_under_tension() -> None:
    assert predicted_repetitions(45_000, "3-0-1-0") == 11
    assert time_under_tension_ms(45_000, "3-0-1-0") == 44_000


@pytest.mark.parametrize(
    "written", ["", "3010", "3-0-1", "X-0-1-0", "3-0-1-X", "0-0-1-0", "3-0--1-0", "3-0-1-100"]
)
def test_what_is_no_tempo_is_refused(written: str) -> None:
    with pytest.raises(ValueError, match="is not a tempo"):
        parse_tempo(written)


def test_a_pause_at_the_bottom_changes_nothing_else() -> None:
    assert paused("3-0-1-0") == "3-1-1-0"
    assert paused("2-1-X-1", 2) == "2-3-X-1"
    with pytest.raises(ValueError, match="is not a tempo"):
        paused("3-99-1-0")


def test_a_tempo_is_written_as_it_was_read() -> None:
    assert [parse_tempo(written).written for written in ("3-0-1-0", "2-0-X-0")] == ["3-0-1-0", "2-0-X-0"]


def test_a_reset_between_repetitions_costs_two_seconds_and_none_after_the_last() -> None:
    """Seven repetitions of 4 s and six resets of 2 s fill 40 s."""
    assert predicted_repetitions(40_000, "3-0-1-0", resets=True) == 7
    assert predicted_repetitions(39_999, "3-0-1-0", resets=True) == 6
    assert time_under_tension_ms(40_000, "3-0-1-0", resets=True) == 28_000
    assert predicted_repetitions(40_000, "2-0-X-0", resets=True) is None


def test_an_interval_says_what_it_holds() -> None:
    assert tempo_sentence(45_000, "3-0-1-0") == "11 repetitions, 44 s under tension."
    assert tempo_sentence(4_000, "3-0-1-0") == "1 repetition, 4 s under tension."
    assert "not predictable" in tempo_sentence(40_000, "2-0-X-0")
