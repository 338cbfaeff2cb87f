"""What a movement starts with that enters on the run."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import HAND, STARTED_AT, record, session

from engine.load.entering import entering_load_g
from engine.load.rack import Rack
from engine.record.exposure import exposures_of

LOADED = exposures_of(record(started_at=STARTED_AT, loads_g={HAND.slug: 10_000}))
CHOSEN = next(
    item.chosen for block in session().blocks for item in block.items if item.chosen.movement == HAND.slug
)
RACK = Rack.of_weights([4_000, 10_000])


@pytest.mark.parametrize("days, load_g", [(0, 4_000), (14, 4_000), (15, 0)])
def test_it_starts_at_half_where_it_was_done_loaded_within_a_fortnight(days: int, load_g: int) -> None:
    today = STARTED_AT.date() + timedelta(days=days)
    assert entering_load_g(CHOSEN, LOADED, RACK, today=today, after_pain=False) == load_g


def test_after_pain_and_without_a_lighter_weight_it_starts_without() -> None:
    today = STARTED_AT.date()
    assert entering_load_g(CHOSEN, LOADED, RACK, today=today, after_pain=True) == 0
    assert entering_load_g(CHOSEN, LOADED, Rack.of_weights([10_000]), today=today, after_pain=False) == 0
    assert entering_load_g(CHOSEN, (), RACK, today=today, after_pain=False) == 0
