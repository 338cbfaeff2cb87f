"""The amount follows the movement that stands in, and stays as much work."""

from __future__ import annotations

from itertools import product

import pytest

from engine.movements.movement import Movement, StartsWith, Variant, library
from engine.movements.substitutes import Candidate
from engine.plan.plan import Amount, AmountCount, AmountUnit
from engine.session.amounts import amount_for, practice_amount
from engine.session.choices import Chosen, as_chosen
from engine.session.estimates import _amount_ms

LIBRARY = library()
TOTAL, ALTERNATING, PER_SIDE = AmountCount.total, AmountCount.alternating, AmountCount.per_side
SECONDS = AmountUnit.seconds
NO_SIDES, ALTERNATES, ONE_SIDE, HOLD, SIDE_HOLD = (
    "squat",
    "tap-back",
    "split-squat",
    "wall-sit",
    "calf-stretch",
)


def instead(slug: str, planned: str = "arm-circles") -> Chosen:
    movement = LIBRARY[slug]
    return as_chosen(Candidate(movement, movement.variants[0]), LIBRARY[planned], known=LIBRARY)


@pytest.mark.parametrize(
    "slug, written, done",
    [
        (NO_SIDES, Amount(low=5, count=PER_SIDE), Amount(low=10)),
        (NO_SIDES, Amount(low=10, count=ALTERNATING), Amount(low=10)),
        (NO_SIDES, Amount(low=8, high=10), Amount(low=8, high=10)),
        (NO_SIDES, Amount(low=15, unit=SECONDS, count=PER_SIDE), Amount(low=30, unit=SECONDS)),
        (ALTERNATES, Amount(low=5, count=PER_SIDE), Amount(low=10, count=ALTERNATING)),
        (ALTERNATES, Amount(low=9), Amount(low=10, count=ALTERNATING)),
        (ONE_SIDE, Amount(low=10, count=ALTERNATING), Amount(low=5, count=PER_SIDE)),
        (ONE_SIDE, Amount(low=7, high=10), Amount(low=4, high=5, count=PER_SIDE)),
        (ONE_SIDE, Amount(low=5, count=PER_SIDE), Amount(low=5, count=PER_SIDE)),
        (HOLD, Amount(low=10), Amount(low=30, unit=SECONDS)),
        (SIDE_HOLD, Amount(low=10), Amount(low=15, unit=SECONDS, count=PER_SIDE)),
        (SIDE_HOLD, Amount(low=30, unit=SECONDS), Amount(low=15, unit=SECONDS, count=PER_SIDE)),
    ],
)
def test_the_amount_follows_the_movement_that_stands_in(slug: str, written: Amount, done: Amount) -> None:
    """Five a side are ten in all; “10 alternating” = 5 a side: common practice, no source."""
    assert amount_for(written, instead(slug)) == done


@pytest.mark.parametrize(
    "slug, done",
    [
        (NO_SIDES, Amount(low=3, high=5)),
        (ONE_SIDE, Amount(low=3, high=5, count=PER_SIDE)),
        (ALTERNATES, Amount(low=4, high=6, count=ALTERNATING)),
        (HOLD, Amount(low=9, high=15, unit=SECONDS)),
        (SIDE_HOLD, Amount(low=9, high=15, unit=SECONDS, count=PER_SIDE)),
    ],
)
@pytest.mark.parametrize("count", AmountCount)
def test_practice_is_3_to_5_of_each_side_even_in_turns_and_seconds_of_a_hold(
    slug: str, done: Amount, count: AmountCount
) -> None:
    """Practice is 3 to 5 repetitions of each movement; an odd number cannot alternate. Common practice, no
    source."""
    assert practice_amount(Amount(low=3, high=5, count=count), instead(slug)) == done


def test_what_is_done_as_planned_keeps_the_coachs_amount_to_the_letter() -> None:
    for slug, count in product(LIBRARY, AmountCount):
        written = Amount(low=7, high=9, count=count)
        assert amount_for(written, instead(slug, planned=slug)) == written


@pytest.mark.parametrize("slug", LIBRARY)
def test_whatever_stands_in_it_is_as_much_work_but_for_what_cannot_be_shared(slug: str) -> None:
    for number, unit, count in product((1, 5, 8, 30), AmountUnit, AmountCount):
        if count is ALTERNATING and number % 2:
            continue  # a fault in the plan
        written = Amount(low=number, unit=unit, count=count)
        done = amount_for(written, instead(slug, planned="squat" if slug != "squat" else "plank"))
        assert 0 <= _amount_ms(done) - _amount_ms(written) <= 3_000
        assert done.unit is SECONDS or LIBRARY[slug].starts_with is not StartsWith.hold
        assert done.count is not ALTERNATING or done.low % 2 == 0


def test_who_takes_turns_is_what_the_name_of_the_version_says() -> None:
    for movement, variant in every_variant():
        assert variant.alternates == ("take turns" in variant.name), movement.slug
        assert not (variant.alternates and variant.sides == "leg"), movement.slug


def every_variant() -> list[tuple[Movement, Variant]]:
    return [(movement, variant) for movement in LIBRARY.values() for variant in movement.variants]
