"""The ways to set the rounds of several blocks, and how far levers are spent."""

from __future__ import annotations

from engine.fit.decisions import round_vectors
from engine.fit.lengths import Undecided


def test_rounds_of_two_blocks_are_bought_in_turns_the_earlier_first() -> None:
    vectors = round_vectors({"a": (1, 3), "b": (2, 4)})
    assert [tuple(v.values()) for v in vectors] == [(3, 4), (3, 3), (2, 3), (2, 2), (1, 2)]


def test_a_block_at_its_most_rounds_leaves_its_turn_to_the_others() -> None:
    vectors = round_vectors({"a": (1, 1), "b": (1, 2), "c": (1, 4)})
    assert [tuple(v.values()) for v in reversed(vectors)] == [
        *[(1, 1, 1), (1, 2, 1), (1, 2, 2), (1, 2, 3), (1, 2, 4)]
    ]


def test_a_lever_is_spent_further_where_its_step_is_later_and_an_open_one_counts_as_planned() -> None:
    before, after = Undecided((2, 0, 1, None, 1), {}), Undecided((2, 1, 0, 1, None), {})
    assert after.spent_further_than(before) == [1, 3]
    assert before.spent_further_than(after) == [2, 4]
