"""The best choice of movements for a whole round, from what can stand in each place.

The places of a round depend on each other: no movement may come twice, unless the plan names one movement in
several places, which then all get the same; two neighbours that train the same region or are heavy on the
grip crowd each other, and a place left empty makes neighbours of those around it.
The best round has the fewest places left empty, then the fewest in which something of another kind stands in,
then the fewest crowded neighbours, then the nearest stand-ins. A movement comes once, whatever it is called.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from heapq import heappop, heappush
from itertools import product
from typing import NamedTuple

from engine.base.model import Slug
from engine.movements.movement import Region
from engine.movements.substitutes import AS_PLANNED, SAME_REGION, TRUNK_INSTEAD, Candidate, Distance

MOST_ROUNDS_SEARCHED = 500
"""After this many rounds only the earlier of two places keeps a movement. No sensible round comes near it."""

_DIGIT = 1 << 16
CROWDED: int = _DIGIT ** len(AS_PLANNED)
OF_ANOTHER_KIND = CROWDED * _DIGIT
LEFT_EMPTY = OF_ANOTHER_KIND * _DIGIT
RATHER_THAN_CROWD = 2 * OF_ANOTHER_KIND + CROWDED - 1
"""A cost is one number whose digits are, by worth: places left empty, how far stand-ins are from the kind of
what is planned, crowded neighbours, then the parts of the distances, each added up over the round.
``RATHER_THAN_CROWD`` lies between the trunk in place of something else and the same with a crowded neighbour.
"""


@dataclass(frozen=True)
class RoundPlace:
    """A place in the round: what the plan has there, and who can stand there today, nearest first.

    ``optional`` says that short minutes may leave it out. Places that are ``named`` alike have the same
    candidates, and get the same.
    """

    region: Region
    grip_heavy: bool
    candidates: tuple[Candidate, ...]
    optional: bool = False
    named: Slug | None = None


FilledRound = tuple[Candidate | None, ...]
"""What stands in each place of a round; None where it is left empty."""
Barred = frozenset[tuple[int, Slug]]
"""Movements, by what they really are, that may not stand in a place; ``EMPTY`` where it may not be empty."""
EMPTY = ""


def best_round(places: Sequence[RoundPlace]) -> FilledRound:
    """The best candidate for each place of a round whose last place neighbours its first.

    The search starts from the best round that may repeat a movement. Where one comes twice, it goes on
    without that movement in the one place and without it in the other, from the most promising round first.
    Where places that are named alike differ, it goes on without the movement of the first of them, and with
    nothing else there. So the first round without either fault is the best of all. What stands in an optional
    place then goes to one that is empty and is not optional, so that short minutes leave something of the
    round.
    """
    barred: Barred = frozenset()
    _, filled = _best_with_repetition(places, barred)
    met = {barred}
    waiting: list[tuple[int, int, FilledRound, Barred]] = []
    while (ways_on := _apart(places, filled) or _repeated(places, filled)) is not None:
        in_a_hurry = len(met) >= MOST_ROUNDS_SEARCHED
        if in_a_hurry:
            waiting.clear()
        for without in (barred | more for more in (ways_on[1:] if in_a_hurry else ways_on)):
            if in_a_hurry or without not in met:
                met.add(without)
                cost, found = _best_with_repetition(places, without)
                heappush(waiting, (cost, len(met), found, without))
        _, _, filled, barred = heappop(waiting)
    return _needed_first(places, filled)


def _needed_first(places: Sequence[RoundPlace], filled: FilledRound) -> FilledRound:
    """The round with what stands in an optional place moved to an empty one that is not, where it can stand
    in there too and crowds no neighbour."""
    for empty, optional in product(range(len(places)), repeat=2):
        moving = filled[optional]
        if filled[empty] or places[empty].optional or not moving or not places[optional].optional:
            continue
        if len(named_alike(places, empty)) > 1 or len(named_alike(places, optional)) > 1:
            continue
        here = next((one for one in places[empty].candidates if one.really == moving.really), None)
        moved = tuple(
            here if at == empty else None if at == optional else one for at, one in enumerate(filled)
        )
        if here is not None and not _crowds(places, moved, empty):
            return _needed_first(places, moved)
    return filled


def crowded(places: Sequence[RoundPlace], filled: FilledRound) -> int:
    """How many neighbours of a round crowd each other."""
    ring = _ring(filled)
    beside = zip(ring, [*ring[1:], *ring[:1]], strict=True)
    return sum(_crowd(places, one, other) for one, other in beside) if len(ring) > 1 else 0


def _ring(filled: FilledRound) -> list[_Neighbour]:
    """The places that are filled, in order."""
    return [
        _Neighbour(index, one.movement.region, one.variant.grip_heavy)
        for index, one in enumerate(filled)
        if one
    ]


def _crowds(places: Sequence[RoundPlace], filled: FilledRound, at: int) -> bool:
    """Whether what stands in a place crowds a neighbour."""
    ring = _ring(filled)
    here = next(number for number, one in enumerate(ring) if one.at == at)
    before, after = ring[here - 1], ring[(here + 1) % len(ring)]
    return len(ring) > 1 and (_crowd(places, before, ring[here]) or _crowd(places, ring[here], after))


def named_alike(places: Sequence[RoundPlace], at: int) -> tuple[int, ...]:
    """The places that get the same as this one, itself among them."""
    named = places[at].named
    return (at,) if named is None else tuple(n for n, one in enumerate(places) if one.named == named)


def _apart(places: Sequence[RoundPlace], filled: FilledRound) -> tuple[Barred, Barred] | None:
    """Where places that are named alike differ: what to bar for them to do without the movement of the first
    that is filled, and what to bar for all of them to have it; None where none differ."""
    for at, candidate in enumerate(filled):
        alike = named_alike(places, at)
        if candidate is not None and any(_really(filled[other]) != candidate.really for other in alike):
            others = {one.really for other in alike for one in places[other].candidates} - {candidate.really}
            return (
                frozenset((other, candidate.really) for other in alike),
                frozenset((other, one) for other in alike for one in (*others, EMPTY)),
            )
    return None


def _really(candidate: Candidate | None) -> Slug:
    return EMPTY if candidate is None else candidate.really


def _repeated(places: Sequence[RoundPlace], filled: FilledRound) -> tuple[Barred, Barred] | None:
    """Where two places that are not named alike have the same movement: what to bar for the first to do
    without it, and for the second; None where all differ."""
    where: dict[Slug, int] = {}
    for at, candidate in enumerate(filled):
        if candidate is not None:
            before = where.setdefault(candidate.really, at)
            if before not in named_alike(places, at):
                both = named_alike(places, before), named_alike(places, at)
                one, other = (frozenset((n, candidate.really) for n in alike) for alike in both)
                return one, other
    return None


class _Neighbour(NamedTuple):
    """What the neighbours of a filled place see of it."""

    at: int
    region: Region
    grip_heavy: bool


def _best_with_repetition(places: Sequence[RoundPlace], barred: Barred) -> tuple[int, FilledRound]:
    """The cheapest way to fill a round, if a movement could come twice, and its cost.

    Goes from place to place, keeping for each pair of ends, the first filled place and the last one so far,
    the cheapest way.
    """
    best: dict[tuple[_Neighbour | None, _Neighbour | None], tuple[int, FilledRound]] = {(None, None): (0, ())}
    for at in range(len(places)):
        ways = tuple(_ways(at, places[at], barred))
        before, best = best, {}
        for (first, last), (cost, filled) in before.items():
            for filling, candidate, more in ways:
                total = cost + more + CROWDED * _crowd(places, last, filling)
                ends = (first or filling, filling or last)
                if ends not in best or total < best[ends][0]:
                    best[ends] = (total, (*filled, candidate))
    closed = ((_closing_cost(places, ends) + cost, filled) for ends, (cost, filled) in best.items())
    return min(closed, key=lambda one: one[0])


def _ways(
    at: int, place: RoundPlace, barred: Barred
) -> Iterator[tuple[_Neighbour | None, Candidate | None, int]]:
    """The nearest candidate of each region and grip with its cost; empty only where there is none, or where
    only the trunk could stand in and would crowd its neighbours."""
    met = set()
    free = [candidate for candidate in place.candidates if (at, candidate.really) not in barred]
    for candidate in free:
        filling = _Neighbour(at, candidate.movement.region, candidate.variant.grip_heavy)
        if filling not in met:
            met.add(filling)
            yield filling, candidate, _distance_cost(candidate.distance)
    if not met:
        yield None, None, LEFT_EMPTY
    elif (at, EMPTY) not in barred and all(one.distance.kinship >= TRUNK_INSTEAD for one in free):
        yield None, None, RATHER_THAN_CROWD


def _distance_cost(distance: Distance) -> int:
    """What a candidate costs by itself: one of another region counts for more than crowding does."""
    kind = (distance.kinship >= SAME_REGION) + (distance.kinship >= TRUNK_INSTEAD)
    return kind * OF_ANOTHER_KIND + reduce(lambda cost, part: cost * _DIGIT + part, distance, 0)


def _closing_cost(places: Sequence[RoundPlace], ends: tuple[_Neighbour | None, _Neighbour | None]) -> int:
    """What the first and the last of a round cost as neighbours."""
    first, last = ends
    return CROWDED * int(first != last and _crowd(places, last, first))


def _crowd(places: Sequence[RoundPlace], one: _Neighbour | None, other: _Neighbour | None) -> bool:
    """Whether neighbours share a region or a hard grip that the plan did not put side by side."""
    if one is None or other is None:
        return False
    planned, beside = places[one.at], places[other.at]
    in_a_row = (one.at + 1) % len(places) == other.at
    region = one.region is other.region and not (in_a_row and planned.region is beside.region)
    grip_as_planned = in_a_row and planned.grip_heavy and beside.grip_heavy
    return region or (one.grip_heavy and other.grip_heavy and not grip_as_planned)
