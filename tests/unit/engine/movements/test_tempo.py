"""The tempo of a repetition."""

from __future__ import annotations

import pytest

from engine.base.issue import WrongValue
from engine.movements.tempo import Phase, parse_tempo, paused, phase_at, predicted_repetitions, slower

LOWERING, BOTTOM, LIFTING, TOP = Phase


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
    with pytest.raises(WrongValue, match=r"not_a_tempo|tempo_without_lowering"):
        parse_tempo(written)


def test_a_pause_where_it_is_hardest_changes_nothing_else() -> None:
    assert paused("3-0-1-0") == "3-1-1-0"
    assert paused("2-1-X-1", Phase.top) == "2-1-X-2"
    assert slower("2-1-X-1") == "3-1-X-1"
    with pytest.raises(WrongValue, match=r"not_a_tempo|tempo_without_lowering"):
        paused("3-99-1-0")


def test_a_tempo_is_written_as_it_was_read() -> None:
    assert [parse_tempo(written).written for written in ("3-0-1-0", "2-0-X-0")] == ["3-0-1-0", "2-0-X-0"]


def phases(tempo: str, *seconds: float, lifts_first: bool = False) -> list[tuple[int, Phase] | None]:
    return [phase_at(tempo, round(one * 1000), lifts_first=lifts_first) for one in seconds]


def test_a_repetition_begins_with_the_phase_that_the_movement_begins_with() -> None:
    at = (0, 2.999, 3, 3.999, 4)
    assert phases("3-0-1-0", *at) == [(1, LOWERING), (1, LOWERING), (1, LIFTING), (1, LIFTING), (2, LOWERING)]
    lifted = [(1, LIFTING), (1, LOWERING), (1, LOWERING), (1, LOWERING), (2, LIFTING)]
    assert phases("3-0-1-0", *at, lifts_first=True) == lifted


def test_the_pauses_of_a_repetition_are_phases_where_there_are_any() -> None:
    assert phases("2-1-1-1", 1, 2, 3, 4) == [(1, LOWERING), (1, BOTTOM), (1, LIFTING), (1, TOP)]
    lifted = [(1, LIFTING), (1, TOP), (1, LOWERING), (1, BOTTOM)]
    assert phases("2-1-1-1", 0, 1, 2, 4, lifts_first=True) == lifted


def test_a_lifting_as_fast_as_possible_has_no_phases_in_time() -> None:
    assert phases("3-0-X-0", 1) == [None]


def test_sides_that_take_turns_do_as_much_each() -> None:
    """13 repetitions fit into 40 s at 2-0-1-0; alternating in total, an odd number is a fault."""
    assert predicted_repetitions(40_000, "2-0-1-0") == 13
    assert predicted_repetitions(40_000, "2-0-1-0", alternates=True) == 12
    assert predicted_repetitions(36_000, "2-0-1-0", alternates=True) == 12
    assert predicted_repetitions(40_000, "2-0-X-0", alternates=True) is None
