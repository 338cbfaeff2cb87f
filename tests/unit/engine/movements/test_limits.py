"""What a limit of today bars, case by case."""

from __future__ import annotations

import pytest
from builders import movement

from engine.movements.limits import Limit, barring
from engine.movements.movement import Demand, MovementPattern

ON_HANDS, STANDING = True, False


@pytest.mark.parametrize(
    "pattern, hands_bear, asks, barred",
    [
        (MovementPattern.vertical_push, ON_HANDS, (Demand.head_low,), True),
        (MovementPattern.trunk, ON_HANDS, (Demand.rounding, Demand.head_low), True),
        (MovementPattern.horizontal_push, ON_HANDS, (), False),
        (MovementPattern.hinge, STANDING, (Demand.head_low,), False),
        (MovementPattern.mobility, ON_HANDS, (Demand.head_low,), False),
    ],
)
def test_head_down_on_the_hands_is_work_on_the_hands_with_the_head_below_the_hips(
    pattern: MovementPattern, hands_bear: bool, asks: tuple[Demand, ...], barred: bool
) -> None:
    """† Our judgement, no source."""
    one = movement("hands-and-feet", pattern=pattern, asks=asks)
    variant = one.variants[0].model_copy(update={"hands_bear": hands_bear})
    assert barring({Limit.not_head_down}, one, variant) == ((Limit.not_head_down,) if barred else ())


@pytest.mark.parametrize("limit, most", [(Limit.steady, 1), (Limit.not_on_one_leg, 2), (Limit.head_up, 3)])
def test_a_limit_on_balance_allows_its_grade_and_none_above(limit: Limit, most: int) -> None:
    """† Our judgement, no source. The grades run from 0 to 3."""
    stands = [movement("stand", balance=grade) for grade in range(4)]
    free = [grade for grade, one in enumerate(stands) if not barring({limit}, one, one.variants[0])]
    assert free == list(range(most + 1))
