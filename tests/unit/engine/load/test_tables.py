"""The published tables, between their rows and at their ends."""

from __future__ import annotations

from engine.load.tables import least_in_reserve, percent_of_one_repetition


def test_halves_of_effort_lie_between_and_low_efforts_are_a_range() -> None:
    assert [least_in_reserve(effort) for effort in (10, 9.5, 8.5, 7.5, 6.5, 6, 2)] == [0, 0, 1, 2, 3, 4, 4]


def test_between_two_rows_of_the_table_the_next_one_holds() -> None:
    assert [percent_of_one_repetition(n) for n in (12, 13, 15)] == [67, 65, 65]
    assert percent_of_one_repetition(0) is percent_of_one_repetition(16) is None
