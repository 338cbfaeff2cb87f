"""Published tables: repetitions left at an effort, and the share of a load for a number of repetitions."""

from __future__ import annotations

from math import floor

RANGE_OF_RESERVE_FROM = 4
"""An effort of 6 or less stands for a range of repetitions in reserve, 4 or more, not for a number."""

PERCENT_OF_ONE_REPETITION = (
    *((1, 100), (2, 95), (3, 93), (4, 90), (5, 87), (6, 85), (7, 83), (8, 80), (9, 77), (10, 75)),
    *((11, 70), (12, 67), (15, 65)),
)
"""Repetitions, and the percentage of the load that can be lifted once: NSCA Essentials, 4th edition (from
memory)."""


def least_in_reserve(effort: float) -> int:
    """The fewest repetitions left after a set of effort 0–10; 4 means 4 or more.

    Zourdos 2016, JSCR 30:267–275: 10→0, 9→1, 8→2, 7→3, halves in between, 6 and below a range.
    """
    return min(floor(10 - effort), RANGE_OF_RESERVE_FROM)


def percent_of_one_repetition(repetitions: int) -> int | None:
    """The percentage of the one-repetition load that can be lifted this many times.

    Between two rows of the table the next row's; None outside 1–15, where the table has no row. Source: NSCA
    Essentials, 4th edition (from memory).
    """
    rows = (percent for listed, percent in PERCENT_OF_ONE_REPETITION if repetitions <= listed)
    return next(rows, None) if repetitions >= 1 else None
