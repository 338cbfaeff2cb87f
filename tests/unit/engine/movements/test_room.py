"""What a sore joint may take today."""

from __future__ import annotations

import pytest

from engine.movements.room import allowed_stress


@pytest.mark.parametrize("rating, grade", [(1, 1), (2, 1), (3, 0), (10, 0)])
def test_a_joint_that_hurts_more_takes_less(rating: int, grade: int) -> None:
    assert allowed_stress(rating) == grade
