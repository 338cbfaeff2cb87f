"""The tempo of a repetition."""

from __future__ import annotations

import pytest

from engine.tempo import parse_tempo, predicted_repetitions, time_under_tension_ms


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
