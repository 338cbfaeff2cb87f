"""What a movement starts with that enters during a session: after a swap, or as the easier version."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.load.rack import Rack, at_most
from engine.record.exposure import KITS, Exposure
from engine.session.choices import Chosen

LOADED_WITHIN_DAYS = 14
"""A movement that was done loaded within so many days may start at half. † Our judgement, no source."""
ENTERS_AT_PERCENT = 50
"""† Our judgement, no source."""


def entering_load_g(
    chosen: Chosen, history: Iterable[Exposure], rack: Rack, *, today: date, after_pain: bool
) -> int:
    """The grams of one dumbbell for a movement that enters now: 0, or half of the latest load in this version
    with this kit, rounded down to a weight that is owned.

    After pain there is no weight for the rest of the session.
    """
    alike = [
        one
        for one in history
        if (one.key.movement, one.key.variant, one.key.kit)
        == (chosen.movement, chosen.variant, KITS[chosen.dumbbells])
        and one.load_g
        and 0 <= (today - one.local_date).days <= LOADED_WITHIN_DAYS
    ]
    if after_pain or not alike:
        return 0
    latest = max(alike, key=lambda one: (one.started_at, one.record_id))
    return at_most(rack.loads_g(chosen.dumbbells), (latest.load_g or 0) * ENTERS_AT_PERCENT // 100)
