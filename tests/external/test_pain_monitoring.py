"""What the rules for pain allow, beside the published model of pain monitoring.

The model (Thomeé 1997, Phys Ther 77:1690–1703, from memory; Silbernagel 2007, AJSM 35:897–906, abstract):
0–2 is safe, 3–5 is acceptable while it is not raised afterwards and the next morning, above 5 the exercise
stops. It was studied in tendons. Here it is a ceiling: nothing is allowed that it would stop.
"""

from __future__ import annotations

import pytest
from builders import pain

from engine.movements.pain import END_FROM, STOP_MUSCLE_FROM, SWAP_FROM, Advice, PainKind, PainQuality, advice
from engine.today.easy_movement import HIGHEST_EFFORT, LONGEST_MIN, SHORTEST_MIN

MODEL_STOPS_ABOVE = 5
MODEL_IS_SAFE_UP_TO = 2
MODERATE_FROM = 5
WARM_UP_MIN = (5, 10)
GOES_ON_AS_IT_IS = (Advice.go_on,)
STOPS = (Advice.stop_movement, Advice.swap_and_leave_out, Advice.end_session)


@pytest.mark.parametrize("kind", [PainKind.muscle, PainKind.joint])
@pytest.mark.parametrize("rating", range(11))
def test_nothing_goes_on_that_the_model_would_stop(kind: PainKind, rating: int) -> None:
    said = advice(pain(kind=kind, rating=rating))
    if rating > MODEL_STOPS_ABOVE:
        assert said in STOPS
    if rating > MODEL_IS_SAFE_UP_TO:
        assert said not in GOES_ON_AS_IT_IS


def test_the_limits_stand_at_those_of_the_model_and_a_joint_stops_earlier() -> None:
    assert END_FROM == STOP_MUSCLE_FROM == MODEL_STOPS_ABOVE + 1
    assert SWAP_FROM == MODEL_IS_SAFE_UP_TO + 1  # † where the model would still accept 3–5


@pytest.mark.parametrize("rating", range(1, 11))
def test_a_joint_is_never_allowed_more_than_a_muscle_at_the_same_number(rating: int) -> None:
    order = list(Advice).index
    joint = advice(pain(kind=PainKind.joint, rating=rating))
    muscle = advice(pain(kind=PainKind.muscle, rating=rating))
    assert joint is not None
    assert muscle is not None
    assert order(joint) > order(muscle)


# Joint pattern of pages for the public (from memory): sharp, at one point, locking, giving way; a snap or pop
# and a sudden pain belong to a torn muscle or tendon; tingling or numbness to a nerve.
SIGNS = ("sharp", "sudden", "snap", "locking", "giving_way", "nerve_like")


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("kind", [PainKind.muscle, PainKind.joint])
def test_every_published_sign_of_an_injury_stops_the_movement(sign: str, kind: PainKind) -> None:
    assert advice(pain(kind=kind, rating=5, qualities=(PainQuality(sign),))) in STOPS


def test_easy_movement_stays_below_moderate_effort_and_lasts_as_long_as_a_published_warm_up() -> None:
    """On a scale of 0 to 10 moderate activity is 5 or 6, and one can talk while at it (Physical Activity
    Guidelines for Americans, 2nd edition, 2018, from memory). A warm-up is 5 to 10 minutes, light to moderate
    (ACSM's Guidelines for Exercise Testing, from memory)."""
    assert HIGHEST_EFFORT < MODERATE_FROM
    assert (SHORTEST_MIN, LONGEST_MIN) == WARM_UP_MIN
