"""In which order optional movements go when the minutes are short, so that like neighbours stay apart."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import combinations, pairwise
from typing import NamedTuple

from engine.base.model import Slug
from engine.movements.movement import Movement, Region
from engine.plan.plan import WorkBlock
from engine.session.choices import Chosen

MOST_DROPPED_TOGETHER = 3
"""How many optional movements may go in one step where fewer would bring like neighbours together. † Our
judgement, no source."""


class _Neighbour(NamedTuple):
    """What its neighbours in the round see of a movement."""

    movement: Slug
    region: Region
    grip_heavy: bool


def dropped_step_by_step(
    block: WorkBlock, movements: Mapping[str, Chosen], known: Mapping[str, Movement]
) -> Iterator[tuple[int, ...]]:
    """The places that each further step drops from a block: as few as can go, the last of the round first.

    ``movements`` are the chosen ones of the block by the slug that the plan names; ``known`` holds the
    movements of the plan and the library.
    """
    in_round = {
        place: _Neighbour(chosen.movement, known[chosen.movement].region, chosen.grip_heavy)
        for place, item in enumerate(block.movements, 1)
        if (chosen := movements.get(item.movement)) is not None
    }
    optional = [place for place in reversed(in_round) if block.movements[place - 1].optional]
    gone: tuple[int, ...] = ()
    while True:
        left = [place for place in optional if place not in gone]
        sets = (more for size in range(1, MOST_DROPPED_TOGETHER + 1) for more in combinations(left, size))
        more = next((more for more in sets if _stay_apart(in_round, (*gone, *more))), None)
        if more is None:
            return
        gone = (*gone, *more)
        yield more


def _stay_apart(in_round: Mapping[int, _Neighbour], gone: Collection[int]) -> bool:
    """Whether dropping movements leaves a round in which no movement comes straight after itself, no two
    neighbours are of one region that the plan keeps apart, and no two are heavy on the grip.

    The last movement of a round comes before its first. There an odd number of movements cannot alternate, so
    that one region twice is allowed.
    """
    kept = [place for place in in_round if place not in gone]
    if len(kept) < 2:
        return bool(kept)
    planned = [*in_round, next(iter(in_round))]
    after = dict(pairwise(planned))
    for one, other in pairwise([*kept, kept[0]]):
        if after[one] == other:
            continue
        here, beside = in_round[one], in_round[other]
        if here.movement == beside.movement or (here.grip_heavy and beside.grip_heavy):
            return False
        closes_odd_round = other == kept[0] and len(kept) % 2 == 1
        if not closes_odd_round and here.region is beside.region is not in_round[after[one]].region:
            return False
    return True
