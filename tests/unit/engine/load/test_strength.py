"""What could be lifted once: only from what allows an estimate."""

from __future__ import annotations

import pytest
from accounts import set_done

from engine.live.state import Outcome
from engine.load.strength import (
    Formula,
    least_in_reserve,
    most_in_reserve,
    one_repetition_load,
    percent_of_one_repetition,
    strength_estimate,
    strength_estimates,
)

NEAR_FAILURE = {"load_g": 20_000, "repetitions": 5, "effort": 9}


def test_a_set_near_failure_is_estimated_between_the_lowest_and_the_highest_formula() -> None:
    estimate = strength_estimate(set_done(**NEAR_FAILURE))
    assert estimate is not None
    assert (estimate.lowest_g, estimate.highest_g, estimate.tempo) == (22_500, 23_802, "3-0-1-0")


def test_a_single_repetition_is_its_own_measure() -> None:
    estimate = strength_estimate(set_done(**(NEAR_FAILURE | {"repetitions": 1, "effort": 10})))
    assert estimate is not None
    assert (estimate.lowest_g, estimate.highest_g) == (20_000, 20_000)


@pytest.mark.parametrize(
    "fields",
    [
        {"effort": 8.5},
        {"effort": 6},
        {"effort": None},
        {"repetitions": 11},
        {"repetitions": 0},
        {"repetitions": None, "planned_repetitions": 5},
        {"load_g": None},
        {"load_g": 0},
        {"position_held": False},
        {"range_kept": False},
        {"easier_form": True},
        {"outcome": Outcome.skipped},
    ],
)
def test_any_other_set_says_nothing(fields: dict) -> None:
    """Over 1 in reserve or not said, over 10 repetitions or not counted, no load, no position or range."""
    assert strength_estimate(set_done(**(NEAR_FAILURE | fields))) is None


def test_each_tempo_keeps_its_own_best_estimate() -> None:
    slow = {"tempo": "5-0-1-0", "load_g": 16_000}
    sets = [set_done(**(NEAR_FAILURE | more)) for more in ({}, slow, {"load_g": 22_000}, {"effort": 5})]
    assert [(one.tempo, one.lowest_g) for one in strength_estimates(sets)] == [
        ("3-0-1-0", 24_750),
        ("5-0-1-0", 18_000),
    ]


@pytest.mark.parametrize("repetitions", [0, 11, 37])
def test_formulas_are_not_asked_beyond_ten_repetitions(repetitions: int) -> None:
    with pytest.raises(ValueError, match="say nothing about one"):
        one_repetition_load(Formula.brzycki, 20.0, repetitions)


def test_halves_of_effort_lie_between_and_low_efforts_are_a_range() -> None:
    assert [least_in_reserve(effort) for effort in (10, 9.5, 8.5, 7.5, 6.5, 6, 2)] == [0, 0, 1, 2, 3, 4, 4]
    assert [most_in_reserve(effort) for effort in (10, 9.5, 8.5, 7.5, 6.5, 6)] == [0, 1, 2, 3, 4, None]


def test_between_two_rows_of_the_table_the_next_one_holds() -> None:
    assert [percent_of_one_repetition(n) for n in (12, 13, 15)] == [67, 65, 65]
    assert percent_of_one_repetition(0) is percent_of_one_repetition(16) is None
