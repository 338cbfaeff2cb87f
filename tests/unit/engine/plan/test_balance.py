"""The balance of a plan's work."""

from __future__ import annotations

import pytest
from builders import BOTH, FLOOR, HAND, LEG, plan, work

from companion.words.words import english
from engine.plan.balance import balance, sets_by_pattern
from engine.plan.plan import RoundsRange, SessionPlan

TURNS = "lower and upper body take turns."


def told(of: SessionPlan) -> list[str]:
    return [english(said) for said in balance(of)]


def test_sets_are_counted_by_pattern_at_the_fewest_and_the_most_rounds() -> None:
    made = plan(work(HAND.slug, BOTH.slug, rounds=RoundsRange(min=2, max=4)), work(HAND.slug, id="more"))
    assert sets_by_pattern(made) == {"vertical_push": (4, 8), "hinge": (2, 4)}


def test_the_balance_is_told_in_plain_sentences() -> None:
    assert told(plan(work(BOTH.slug, HAND.slug, LEG.slug, FLOOR.slug))) == [
        "Sets: hinge 2–4, vertical push 2–4, lunge 2–4 and trunk 2–4.",
        "Push 4, pull 0: clearly more push.",
        "Squat and lunge 4, hinge 4: about the same.",
        "In block 1: lower and upper body take turns.",
    ]


@pytest.mark.parametrize(
    "lunges, hinges, said",
    [
        (3, 2, "Squat and lunge 3, hinge 2: clearly more squat and lunge."),
        (2, 3, "Squat and lunge 2, hinge 3: clearly more hinge."),
        (4, 3, "Squat and lunge 4, hinge 3: about the same."),
        (3, 3, "Squat and lunge 3, hinge 3: about the same."),
        (3, 0, "Squat and lunge 3, hinge 0: clearly more squat and lunge."),
        (0, 3, "Squat and lunge 0, hinge 3: clearly more hinge."),
        (0, 0, "No squat, no lunge and no hinge."),
    ],
)
def test_one_kind_of_work_is_clearly_more_from_half_as_much_again_on(
    lunges: int, hinges: int, said: str
) -> None:
    """† Our judgement, no source."""
    blocks = [
        work(slug, id=slug, rounds=RoundsRange(min=1, max=rounds))
        for slug, rounds in ((FLOOR.slug, 1), (LEG.slug, lunges), (BOTH.slug, hinges))
        if rounds
    ]
    assert said in told(plan(*blocks))


def test_two_of_a_region_in_a_row_are_told_from_round_to_round_too() -> None:
    for rounds, said in (
        (2, "two movements for the lower body in a row, One leg stand and Both hands lift."),
        (1, TURNS),
    ):
        block = work(BOTH.slug, HAND.slug, LEG.slug, rounds=RoundsRange(min=1, max=rounds))
        *_, order = told(plan(block))
        assert order == f"In block 1: {said}"


def test_a_movement_alone_in_its_round_is_no_neighbour_of_itself() -> None:
    *_, order = told(plan(work(BOTH.slug)))
    assert order == "In block 1: only lower body."
