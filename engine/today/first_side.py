"""Which side starts: the one that was left behind, else the weaker one, which sets the load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from engine.load.sides import weaker_side
from engine.movements.movement import Side
from engine.record.exposure import Exposure

USUAL = Side.left


def first_side(past: Iterable[Exposure]) -> Side:
    """The side that starts in the next session; ``past`` holds the accounts of earlier ones.

    Where the last session ended between the sides, the one that was left out; else the weaker one in most of
    the movements, by their latest accounts; else the left.
    """
    known = sorted(past, key=lambda one: one.started_at)
    last = [one for one in known if known and one.record_id == known[-1].record_id]
    latest = {one.key: one for one in known}
    return _most(map(_left_behind, last)) or _most(map(weaker_side, latest.values())) or USUAL


def _left_behind(exposure: Exposure) -> Side | None:
    """The side that got fewer sets."""
    left, right = (len(exposure.of_side(side)) for side in (Side.left, Side.right))
    if left == right:
        return None
    return Side.left if left < right else Side.right


def _most(sides: Iterable[Side | None]) -> Side | None:
    """The side named most often; None where neither is."""
    counted: Sequence[tuple[Side, int]] = Counter(side for side in sides if side is not None).most_common()
    if not counted or (len(counted) == 2 and counted[0][1] == counted[1][1]):
        return None
    return counted[0][0]
