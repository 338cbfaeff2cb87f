"""What can stand in for a movement, nearest first, and the best choice of stand-ins for a whole round.

The movements of a round interact: no movement stands twice, two neighbours that train the same region or ask
for a hard grip crowd each other, and one that is left out makes neighbours of those around it. The choice is
the best of all under one order of worth: fewest left out, fewest crowded neighbours, nearest stand-ins.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from heapq import heappop, heappush
from typing import NamedTuple

from engine.base.model import Slug
from engine.movements.movement import (
    Equipment,
    Form,
    Movement,
    MovementPattern,
    Region,
    StartsWith,
    sides_of,
    trains_pattern_of,
)

FormsOf = Callable[[Slug], Sequence[Form]]
"""The forms of a movement that a person can do today, in order of preference."""

HARDEST_STEP = 1
"""A stand-in is at most so many levels harder than what it stands in for. † Our judgement, no source."""
NOT_IN_EVERY_HOME = frozenset({Equipment.bench, Equipment.step, Equipment.band})
"""What a stand-in asks for only where nothing else of its kind will do. † Our judgement, no source."""
SEARCHED_ROUNDS = 500
"""After so many rounds the later of two places gives way to the earlier; no sensible round comes near."""

Distance = tuple[int, ...]
"""Kinship; something not in every home; levels harder; levels away, where leaving the chain and a hold in
place of repetitions count as one each; off the chain; unlike in posture, sides and joints; order in the
library, and among the forms."""
HERE: Distance = (0,) * 8
"""The distance of a movement that stays as planned."""


class Option(NamedTuple):
    """A movement in one form, and how far it is from the one planned; the smaller tuple is the nearer."""

    movement: Movement
    form: Form
    distance: Distance = HERE


@dataclass(frozen=True)
class RoundPlace:
    """A place in the round: what the plan has there, and what can stand there today, nearest first."""

    region: Region
    grip_heavy: bool
    options: tuple[Option, ...]


def stand_ins(
    planned: Movement,
    usual: Form,
    known: Mapping[Slug, Movement],
    forms_of: FormsOf,
    coachs_easier: Slug | None = None,
) -> tuple[Option, ...]:
    """Every form that can stand in for a movement's usual form, nearest first.

    Other forms of the movement itself come first, then the coach's own easier movement, the same pattern,
    and the same region. Among these the nearest in level, what lies on the movement's easier chain before
    what does not, then what is most alike.
    """
    chain = {movement.slug for movement in easier_chain(planned, known)}
    stressed = planned.stressed_in(usual)
    found = []
    for index, candidate in enumerate(known.values()):
        kinship = 1 if candidate.slug == coachs_easier else _kinship(candidate, planned)
        for place, form in enumerate(forms_of(candidate.slug) if kinship is not None else ()):
            step = candidate.level_of(form) - planned.level_of(usual)
            if step <= HARDEST_STEP:
                rare = int(not NOT_IN_EVERY_HOME.isdisjoint(form.needs))
                off_chain = int(candidate.slug not in chain)
                near = abs(step) + off_chain + (_holds(candidate) is not _holds(planned))
                unlike = len(candidate.stressed_in(form) ^ stressed) + _other_posture(form, usual)
                distance = (kinship or 0, rare, max(step, 0), near, off_chain, unlike, index, place)
                found.append(Option(candidate, form, distance))
    return tuple(sorted(found, key=lambda option: option.distance))


def _holds(movement: Movement) -> bool:
    return movement.starts_with is StartsWith.hold


def _other_posture(form: Form, usual: Form) -> int:
    """Getting to the floor or up from it costs more than other sides do."""
    return 2 * (form.on_floor is not usual.on_floor) + (sides_of(form) is not sides_of(usual))


def easier_chain(movement: Movement, known: Mapping[Slug, Movement]) -> Iterator[Movement]:
    """Easier, and easier again; ends where a movement has no easier one or comes round again."""
    seen = {movement.slug}
    while movement.easier is not None and movement.easier in known and movement.easier not in seen:
        movement = known[movement.easier]
        seen.add(movement.slug)
        yield movement


def _kinship(candidate: Movement, planned: Movement) -> int | None:
    """How closely two movements are related; None where one never stands in for the other.

    0 the movement itself, 2 the same pattern, 3 the same pattern of another region, 4 the same region, 5 an
    accessory of the region in place of a whole movement. Mobility stays among mobility.
    """
    if candidate.slug == planned.slug:
        return 0
    if trains_pattern_of(candidate, planned):
        alike = candidate.region is planned.region and candidate.accessory == planned.accessory
        return 2 if alike else 3
    mobility = MovementPattern.mobility
    if candidate.region is not planned.region or mobility in (candidate.pattern, planned.pattern):
        return None
    return 5 if candidate.accessory and not planned.accessory else 4


_DIGIT = 1 << 16
CROWDED: int = _DIGIT ** len(HERE)
LEFT_OUT = CROWDED * _DIGIT
"""Costs are numbers whose digits are the order of worth: left out, crowded neighbours, then the parts of the
distances, each part added up over the round."""

Filled = tuple[Option | None, ...]
"""What stands in each place of a round; None where nothing is left."""
Barred = frozenset[tuple[int, Slug]]
"""Movements that may not stand in a place."""


def best_round(places: Sequence[RoundPlace]) -> Filled:
    """The best option for each place of a round that closes on itself; no movement stands twice.

    The best round that may repeat a movement comes first. Where one stands twice, the search goes on without
    it in the one and in the other of the two places, the most promising round first. So the first round
    found without a repetition is the best of all.
    """
    barred: Barred = frozenset()
    _, filled = _best_with_repetition(places, barred)
    met = {barred}
    waiting: list[tuple[int, int, Filled, Barred]] = []
    while (twice := _standing_twice(filled)) is not None:
        in_a_hurry = len(met) >= SEARCHED_ROUNDS
        if in_a_hurry:
            waiting.clear()
        for without in (barred | {one} for one in (twice[1:] if in_a_hurry else twice)):
            if in_a_hurry or without not in met:
                met.add(without)
                cost, found = _best_with_repetition(places, without)
                heappush(waiting, (cost, len(met), found, without))
        _, _, filled, barred = heappop(waiting)
    return filled


def _standing_twice(filled: Filled) -> tuple[tuple[int, Slug], ...] | None:
    """The first two places that hold the same movement."""
    where: dict[Slug, int] = {}
    for at, option in enumerate(filled):
        if option is not None:
            before = where.setdefault(option.movement.slug, at)
            if before != at:
                return (before, option.movement.slug), (at, option.movement.slug)
    return None


class _Stood(NamedTuple):
    """What the neighbours of a filled place see of it."""

    at: int
    region: Region
    grip_heavy: bool


def _best_with_repetition(places: Sequence[RoundPlace], barred: Barred) -> tuple[int, Filled]:
    """The cheapest way to fill a round place by place, if a movement might stand twice."""
    best: dict[tuple[_Stood | None, _Stood | None], tuple[int, Filled]] = {(None, None): (0, ())}
    for at in range(len(places)):
        ways = tuple(_ways(at, places[at], barred))
        before, best = best, {}
        for (first, last), (cost, filled) in before.items():
            for stood, option, more in ways:
                total = cost + more + CROWDED * _crowd(places, last, stood)
                ends = (first or stood, stood or last)
                if ends not in best or total < best[ends][0]:
                    best[ends] = (total, (*filled, option))
    closed = ((_closing(places, ends) + cost, filled) for ends, (cost, filled) in best.items())
    return min(closed, key=lambda one: one[0])


def _ways(at: int, place: RoundPlace, barred: Barred) -> Iterator[tuple[_Stood | None, Option | None, int]]:
    """The nearest option of each region and grip, and its cost; left out only where there is none."""
    met = set()
    for option in place.options:
        stood = _Stood(at, option.movement.region, option.form.grip_heavy)
        if stood not in met and (at, option.movement.slug) not in barred:
            met.add(stood)
            yield stood, option, reduce(lambda cost, digit: cost * _DIGIT + digit, option.distance, 0)
    if not met:
        yield None, None, LEFT_OUT


def _closing(places: Sequence[RoundPlace], ends: tuple[_Stood | None, _Stood | None]) -> int:
    """What the first and the last of a round cost as neighbours."""
    first, last = ends
    return CROWDED * int(first != last and _crowd(places, last, first))


def _crowd(places: Sequence[RoundPlace], one: _Stood | None, other: _Stood | None) -> bool:
    """Whether neighbours share a region or a hard grip where the plan did not put it so."""
    if one is None or other is None:
        return False
    planned, beside = places[one.at], places[other.at]
    in_a_row = (one.at + 1) % len(places) == other.at
    region = one.region is other.region and not (in_a_row and planned.region is beside.region)
    grip_as_planned = in_a_row and planned.grip_heavy and beside.grip_heavy
    return region or (one.grip_heavy and other.grip_heavy and not grip_as_planned)
