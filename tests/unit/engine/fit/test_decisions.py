"""The ways to set the rounds of several blocks, and how far levers are spent."""

from __future__ import annotations

from builders import BOTH, FLOOR, HAND, plan, practice, warm_up, work

from engine.fit.asked import Asked
from engine.fit.decisions import LeverDecision, Limit, round_vectors, within
from engine.fit.lengths import Undecided
from engine.fit.problem import pose
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import Allowance, Amount, GiveUp, RoundsRange, WorkMovement


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


def test_what_less_pain_gives_up_of_the_optional_movements_is_given_up_with_more() -> None:
    """Pain buys no volume."""
    items = (
        WorkMovement(movement=BOTH.slug),
        WorkMovement(movement=HAND.slug, optional=True),
        WorkMovement(movement=FLOOR.slug, optional=True),
    )
    of = plan(work(movements=items), allowances=(Allowance(give_up=GiveUp.optional_movements),))
    problem = pose(of, Asked(minutes=30, room=Room(kit=Kit.single)))
    dropped = ("circuit:3:floor-roll", "circuit:2:one-hand-press")
    for number in range(3):
        limit = Limit({}, frozenset(dropped[:number]))
        found = within(problem.decisions, limit, problem.levers, problem.start) or ()
        assert [one.first for one in found if isinstance(one, LeverDecision)] == [number]


def test_what_less_pain_gives_up_binds_no_lever_that_may_lengthen_and_none_of_another_kind() -> None:
    items = (WorkMovement(movement=BOTH.slug), WorkMovement(movement=HAND.slug, optional=True))
    whole = practice(movements=(BOTH.slug, HAND.slug), repetitions=Amount(low=5), repetitions_estimate_s=120)
    allowances = (Allowance(give_up=GiveUp.optional_movements), Allowance(give_up=GiveUp.practice))
    of = plan(warm_up(), whole, work(movements=items), allowances=allowances)
    problem = pose(of, Asked(minutes=30, room=Room(kit=Kit.single)))
    limit = Limit({}, frozenset({"circuit:2:one-hand-press"}))
    found = within(problem.decisions, limit, problem.levers, problem.start) or ()
    assert [one.first for one in found if isinstance(one, LeverDecision)] == [0, 0]


def test_extra_rounds_everywhere_leave_out_only_the_blocks_that_have_extra_rounds_of_their_own() -> None:
    blocks = [work(HAND.slug, id=id, rounds=RoundsRange(min=1, max=3)) for id in ("first", "second", "third")]
    allowances = (
        Allowance(give_up=GiveUp.extra_rounds),
        Allowance(give_up=GiveUp.extra_rounds, block="third"),
        Allowance(give_up=GiveUp.hand_change, block="first"),
    )
    problem = pose(plan(*blocks, allowances=allowances), Asked(minutes=30, room=Room(kit=Kit.single)))
    bought = [set(one.ways[0]) for one in problem.decisions if not isinstance(one, LeverDecision)]
    assert bought == [{"third"}, {"first", "second"}], "the allowance that is given up last is worth most"
