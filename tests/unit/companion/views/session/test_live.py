"""What moves on the running screen: the pacer, and the shape of the side that works."""

from __future__ import annotations

from itertools import pairwise

import pytest

from companion.views.session.live import filled, pace_words
from engine.movements.movement import StartsWith

LOWERING, LIFTING = StartsWith.lowering, StartsWith.lifting


def said(tempo: str, starts_with: StartsWith, *seconds: float) -> list[tuple[int, str] | None]:
    return [pace_words(tempo, starts_with, round(one * 1000)) for one in seconds]


def test_the_pacer_begins_with_the_phase_that_the_movement_begins_with() -> None:
    at = (0, 2.999, 3, 3.999, 4)
    assert said("3-0-1-0", LOWERING, *at) == [
        (1, "lower"),
        (1, "lower"),
        (1, "lift"),
        (1, "lift"),
        (2, "lower"),
    ]
    assert said("3-0-1-0", LIFTING, *at) == [
        (1, "lift"),
        (1, "lower"),
        (1, "lower"),
        (1, "lower"),
        (2, "lift"),
    ]


def test_the_pacer_says_the_pauses_where_there_are_any() -> None:
    assert said("2-1-1-1", LOWERING, 1, 2, 3, 4) == [(1, "lower"), (1, "pause"), (1, "lift"), (1, "top")]
    assert said("2-1-1-1", LIFTING, 0, 1, 2, 4) == [(1, "lift"), (1, "top"), (1, "lower"), (1, "pause")]


def test_a_lifting_as_fast_as_possible_is_not_paced() -> None:
    assert said("3-0-X-0", LOWERING, 1) == [None]


@pytest.mark.parametrize("tempo", ["1-0-1-0", "1-1-1-1", "3-0-1-0"])
@pytest.mark.parametrize("starts_with", [LOWERING, LIFTING])
def test_nothing_in_the_pacer_changes_more_than_three_times_a_second(
    tempo: str, starts_with: StartsWith
) -> None:
    """WCAG 2.2, success criterion 2.3.1: nothing flashes more than three times in any second."""
    shown = [pace_words(tempo, starts_with, ms) for ms in range(0, 60_000, 20)]
    changes = [20 * index for index, (one, other) in enumerate(pairwise(shown)) if one != other]
    assert all(other - one >= 1_000 for one, other in pairwise(changes))


def test_the_shape_only_fills_up_and_in_quarters_where_nothing_is_to_move() -> None:
    """What only grows never flashes."""
    by_and_by = [filled(share / 1000, moves=True) for share in range(1001)]
    quarters = [filled(share / 1000, moves=False) for share in range(1001)]
    assert by_and_by == sorted(by_and_by)
    assert quarters == sorted(quarters)
    assert sorted(set(quarters)) == [0, 0.25, 0.5, 0.75, 1]
