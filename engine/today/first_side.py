"""Which side starts: the one that was left out last time, else the weaker one, because it sets the load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from engine.load.sides import weaker_side
from engine.movements.movement import Side
from engine.record.exposure import Exposure

USUAL = Side.left


def first_side(past: Iterable[Exposure]) -> Side:
    """The side that starts in the next session, from the exposures of earlier ones.

    Where the last session ended between the sides, the side that was left out; else the side that was weaker
    in most of the movements, each by its latest exposure; else the left.
    """
    known = sorted(past, key=lambda one: (one.started_at, one.record_id))
    last = [one for one in known if known and one.record_id == known[-1].record_id]
    latest = {one.key: one for one in known}
    return _most(map(_left_behind, last)) or _most(map(weaker_side, latest.values())) or USUAL


def _left_behind(exposure: Exposure) -> Side | None:
    """The side that got fewer sets, if one did."""
    left, right = (len(exposure.of_side(side)) for side in (Side.left, Side.right))
    if left == right:
        return None
    return Side.left if left < right else Side.right


def _most(sides: Iterable[Side | None]) -> Side | None:
    """The side named most often; None where neither is."""
    ranked = Counter(side for side in sides if side is not None).most_common()
    if not ranked or (len(ranked) == 2 and ranked[0][1] == ranked[1][1]):
        return None
    return ranked[0][0]
