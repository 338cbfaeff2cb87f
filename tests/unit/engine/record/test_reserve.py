"""Repetitions left in reserve, and the effort that stands for them."""

from __future__ import annotations

import pytest
from builders import BOTH, HAND, plan, record, session, work

from engine.movements.movement import Side
from engine.plan.plan import RoundsRange
from engine.record.record import LogAnswers, SetAnswer, set_key
from engine.record.reserve import effort_of, left_after, with_reserve

LAST = [set_key("circuit", 2, 1, HAND.slug, side) for side in (Side.left, Side.right)]


@pytest.mark.parametrize("left, effort", [(0, 10), (1, 9), (2, 8), (3, 7)])
def test_each_repetition_left_takes_one_from_the_effort(left: int, effort: float) -> None:
    """Zourdos 2016, JSCR 30:267–275."""
    assert effort_of(left) == effort
    assert left_after(effort) == left


def test_below_half_the_scale_more_repetitions_are_not_told_apart() -> None:
    assert {left_after(effort) for effort in (0, 3, 5)} == {5}
    assert left_after(8.5) == 1.5


def test_what_was_left_is_said_of_each_side_of_the_last_round_and_of_nothing_else() -> None:
    answers = LogAnswers(exceptions={LAST[0]: SetAnswer(repetitions=6)})
    changed = with_reserve(answers, record().sets, 2)
    assert changed.exceptions == {
        LAST[0]: SetAnswer(repetitions=6, effort=8),
        LAST[1]: SetAnswer(effort=8),
    }


def test_the_last_round_is_that_of_the_last_block() -> None:
    rounds = {"first": RoundsRange(min=2, max=2), "second": RoundsRange(min=1, max=1)}
    made = session(plan(*(work(BOTH.slug, id=block, rounds=range) for block, range in rounds.items())))
    last = set_key("second", 1, 1, BOTH.slug, Side.both)
    assert with_reserve(LogAnswers(), record(made).sets, 2).exceptions == {last: SetAnswer(effort=8)}
    made = session(plan(work(BOTH.slug, rounds=rounds["first"])))
    last = set_key("circuit", 2, 1, BOTH.slug, Side.both)
    assert with_reserve(LogAnswers(), record(made).sets, 2).exceptions == {last: SetAnswer(effort=8)}


def test_of_a_movement_that_was_not_done_nothing_is_said() -> None:
    assert with_reserve(LogAnswers(), (), 2) == LogAnswers()
