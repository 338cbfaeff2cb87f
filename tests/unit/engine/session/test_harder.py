"""What a session says of the harder version of a movement."""

from __future__ import annotations

import pytest

from companion.words.words import ENGLISH
from engine.movements.limits import Limit
from engine.movements.movement import library
from engine.movements.substitutes import Candidate
from engine.session.choices import as_chosen

LIBRARY = library()


def harder(slug: str, variant_id: str, *limits: Limit) -> str | None:
    movement = LIBRARY[slug]
    variant = next(one for one in movement.variants if one.id == variant_id)
    found = as_chosen(Candidate(movement, variant), movement, known=LIBRARY, limits=limits).harder
    return None if found is None else ENGLISH.argument(found)


@pytest.mark.parametrize(
    "slug, variant, name",
    [
        ("squat", "bodyweight", "Staggered-stance squat"),
        ("goblet-squat", "single", LIBRARY["racked-squat"].name),
        ("goblet-squat", "bodyweight", "Staggered-stance squat"),
        ("plank", "bodyweight", "Plank (Forearms a hand ahead of the shoulders, toes on the floor)"),
        ("plank", "long", None),
    ],
)
def test_the_harder_version_is_named_by_the_movement_or_by_the_form(
    slug: str, variant: str, name: str | None
) -> None:
    assert harder(slug, variant) == name


def test_a_harder_version_never_takes_another_weight() -> None:
    """A march without a weight goes on to one with a weight, which nobody may have here."""
    assert harder("tall-march", "bodyweight") is None


def test_a_harder_version_against_todays_limits_is_not_named() -> None:
    assert harder("squat", "bodyweight", Limit.steady) is None
    assert harder("one-leg-deadlift", "bodyweight", Limit.not_on_one_leg) is None
