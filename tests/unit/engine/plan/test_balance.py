"""The balance of a plan's work."""

from __future__ import annotations

from builders import BOTH, FLOOR, HAND, LEG, plan, work

from engine.plan.balance import balance_sentences, sets_by_pattern
from engine.plan.plan import RoundsRange


def test_sets_are_counted_by_pattern_at_the_fewest_and_the_most_rounds() -> None:
    made = plan(work(HAND.slug, BOTH.slug, rounds=RoundsRange(min=2, max=4)), work(HAND.slug, id="more"))
    assert sets_by_pattern(made) == {"vertical_push": (4, 8), "hinge": (2, 4)}


def test_the_balance_is_told_in_plain_sentences() -> None:
    told = list(balance_sentences(plan(work(BOTH.slug, HAND.slug, LEG.slug, FLOOR.slug))))
    assert told == [
        "Sets: hinge 2–4, vertical push 2–4, lunge 2–4, trunk 2–4.",
        "Push 4, and no pull.",
        "Squat and lunge 4, hinge 4: about as much of each.",
        "Block 1: lower and upper body take turns.",
    ]


def test_two_of_a_region_in_a_row_are_told_from_round_to_round_too() -> None:
    *_, order = balance_sentences(plan(work(BOTH.slug, HAND.slug, LEG.slug)))
    assert order == "Block 1: Both hands lift comes straight after One leg stand, both lower body."
