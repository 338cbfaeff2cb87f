"""The tempo of a repetition."""

from __future__ import annotations

import pytest

from engine.movements.tempo import parse_tempo, paused, predicted_repetitions


def test_the_first_number_is_the_lowering() -> None:
    phases = parse_tempo("3-1-2-0")
    assert (phases.lowering_s, phases.bottom_s, phases.lifting_s, phases.top_s) == (3, 1, 2, 0)
    assert phases.repetition_ms == 6_000


def test_as_fast_as_possible_has_no_duration() -> None:
    assert parse_tempo("2-0-X-0").repetition_ms is None
    assert predicted_repetitions(40_000, "2-0-X-0") is None


def test_only_whole_repetitions_are_predicted() -> None:
    assert predicted_repetitions(45_000, "3-0-1-0") == 11
    assert predicted_repetitions(44_000, "3-0-1-0") == 11
    assert predicted_repetitions(43_999, "3-0-1-0") == 10


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
