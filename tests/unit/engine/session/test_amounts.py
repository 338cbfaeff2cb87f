"""The amount follows the movement that stands in, and stays as much work."""

from __future__ import annotations

from itertools import product

import pytest

from engine.movements.movement import Form, Movement, StartsWith, library
from engine.movements.substitutes import Candidate
from engine.plan.plan import Dose, DoseCount, DoseUnit
from engine.session.amounts import amount_for, practice_amount
from engine.session.choices import Chosen, as_chosen
from engine.session.estimates import _dose_ms

LIBRARY = library()
TOTAL, ALTERNATING, PER_SIDE = DoseCount.total, DoseCount.alternating, DoseCount.per_side
SECONDS = DoseUnit.seconds
NO_SIDES, ALTERNATES, ONE_SIDE, HOLD, SIDE_HOLD = (
    "squat",
    "tap-back",
    "split-squat",
    "wall-sit",
    "calf-stretch",
)


def instead(slug: str, planned: str = "arm-circles") -> Chosen:
    movement = LIBRARY[slug]
    return as_chosen(Candidate(movement, movement.forms[0]), LIBRARY[planned], known=LIBRARY)


@pytest.mark.parametrize(
    "slug, written, done",
    [
        (NO_SIDES, Dose(low=5, count=PER_SIDE), Dose(low=10)),
        (NO_SIDES, Dose(low=10, count=ALTERNATING), Dose(low=10)),
        (NO_SIDES, Dose(low=8, high=10), Dose(low=8, high=10)),
        (NO_SIDES, Dose(low=15, unit=SECONDS, count=PER_SIDE), Dose(low=30, unit=SECONDS)),
        (ALTERNATES, Dose(low=5, count=PER_SIDE), Dose(low=10, count=ALTERNATING)),
        (ALTERNATES, Dose(low=9), Dose(low=10, count=ALTERNATING)),
        (ONE_SIDE, Dose(low=10, count=ALTERNATING), Dose(low=5, count=PER_SIDE)),
        (ONE_SIDE, Dose(low=7, high=10), Dose(low=4, high=5, count=PER_SIDE)),
        (ONE_SIDE, Dose(low=5, count=PER_SIDE), Dose(low=5, count=PER_SIDE)),
        (HOLD, Dose(low=10), Dose(low=30, unit=SECONDS)),
        (SIDE_HOLD, Dose(low=10), Dose(low=15, unit=SECONDS, count=PER_SIDE)),
        (SIDE_HOLD, Dose(low=30, unit=SECONDS), Dose(low=15, unit=SECONDS, count=PER_SIDE)),
    ],
)
def test_the_amount_follows_the_movement_that_stands_in(slug: str, written: Dose, done: Dose) -> None:
    """Five a side are ten in all; “10 alternating” = 5 a side: common practice, no source."""
    assert amount_for(written, instead(slug)) == done


@pytest.mark.parametrize(
    "slug, done",
    [
        (NO_SIDES, Dose(low=3, high=5)),
        (ONE_SIDE, Dose(low=3, high=5, count=PER_SIDE)),
        (ALTERNATES, Dose(low=4, high=6, count=ALTERNATING)),
        (HOLD, Dose(low=9, high=15, unit=SECONDS)),
        (SIDE_HOLD, Dose(low=9, high=15, unit=SECONDS, count=PER_SIDE)),
    ],
)
@pytest.mark.parametrize("count", DoseCount)
def test_practice_is_3_to_5_of_each_side_even_in_turns_and_seconds_of_a_hold(
    slug: str, done: Dose, count: DoseCount
) -> None:
    """Practice is 3 to 5 repetitions of each movement; an odd number cannot alternate. Common practice, no
    source."""
    assert practice_amount(Dose(low=3, high=5, count=count), instead(slug)) == done


def test_what_is_done_as_planned_keeps_the_coachs_amount_to_the_letter() -> None:
    for slug, count in product(LIBRARY, DoseCount):
        written = Dose(low=7, high=9, count=count)
        assert amount_for(written, instead(slug, planned=slug)) == written


@pytest.mark.parametrize("slug", LIBRARY)
def test_whatever_stands_in_it_is_as_much_work_but_for_what_cannot_be_shared(slug: str) -> None:
    for number, unit, count in product((1, 5, 8, 30), DoseUnit, DoseCount):
        if count is ALTERNATING and number % 2:
            continue  # a fault in the plan
        written = Dose(low=number, unit=unit, count=count)
        done = amount_for(written, instead(slug, planned="squat" if slug != "squat" else "plank"))
        assert 0 <= _dose_ms(done) - _dose_ms(written) <= 3_000
        assert done.unit is SECONDS or LIBRARY[slug].starts_with is not StartsWith.hold
        assert done.count is not ALTERNATING or done.low % 2 == 0


def test_who_takes_turns_is_what_the_name_of_the_version_says() -> None:
    for movement, form in every_form():
        assert form.alternates == ("take turns" in form.name), movement.slug
        assert not (form.alternates and form.sides == "leg"), movement.slug


def every_form() -> list[tuple[Movement, Form]]:
    return [(movement, form) for movement in LIBRARY.values() for form in movement.forms]
