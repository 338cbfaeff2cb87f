"""What moves on the running screen: the pacer, and the shape of the side that works."""

from __future__ import annotations

from itertools import pairwise

import pytest

from companion.views.session.live import filled
from engine.movements.tempo import phase_at


@pytest.mark.parametrize("tempo", ["1-0-1-0", "1-1-1-1", "3-0-1-0"])
@pytest.mark.parametrize("lifts_first", [False, True])
def test_nothing_in_the_pacer_changes_more_than_three_times_a_second(tempo: str, lifts_first: bool) -> None:
    """WCAG 2.2, success criterion 2.3.1: nothing flashes more than three times in any second."""
    shown = [phase_at(tempo, ms, lifts_first=lifts_first) for ms in range(0, 60_000, 20)]
    changes = [20 * index for index, (one, other) in enumerate(pairwise(shown)) if one != other]
    assert all(other - one >= 1_000 for one, other in pairwise(changes))


def test_the_shape_only_fills_up_and_in_quarters_where_nothing_is_to_move() -> None:
    """What only grows never flashes."""
    by_and_by = [filled(share / 1000, moves=True) for share in range(1001)]
    quarters = [filled(share / 1000, moves=False) for share in range(1001)]
    assert by_and_by == sorted(by_and_by)
    assert quarters == sorted(quarters)
    assert sorted(set(quarters)) == [0, 0.25, 0.5, 0.75, 1]
