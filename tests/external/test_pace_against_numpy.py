"""The learned pace against the same formula written with NumPy."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from engine.session.pace import TickedItem, personal_pace

AT = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)


@pytest.mark.parametrize("seed", range(5))
def test_the_learned_pace_is_the_shrunk_median_of_log_ratios(seed: int) -> None:
    """Judge: numpy.median and numpy.clip; the pace is rounded to a thousandth."""
    chance = random.Random(seed)
    ticks = [
        TickedItem(
            at=AT + timedelta(days=chance.randint(0, 9)),
            item=chance.choice("abc"),
            stated_ms=chance.randint(5_000, 90_000),
            taken_ms=chance.randint(1_000, 200_000),
        )
        for _ in range(chance.randint(1, 40))
    ]
    ratios = np.log([one.taken_ms / one.stated_ms for one in ticks])
    items, days = np.array([one.item for one in ticks]), np.array([one.at.toordinal() for one in ticks])
    known = np.unique(days).size
    usual = known / (known + 1) * np.clip(np.median(ratios), -np.log(2), np.log(2))
    pace = personal_pace(ticks)
    assert pace.usual == pytest.approx(1_000 * np.exp(usual), abs=0.51)
    for item in set(items):
        own = ratios[items == item]
        known = np.unique(days[items == item]).size
        apart = np.clip(np.median(own) - usual, -np.log(1.5), np.log(1.5)) * (known - 1) / known
        assert pace.permille(item) == pytest.approx(1_000 * np.exp(usual + apart), abs=0.51)
