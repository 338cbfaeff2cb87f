"""What can stand in for a movement, nearest first, and the best choice of stand-ins for a whole round.

The movements of a round interact: no movement stands twice, two neighbours that train the same region or ask
for a hard grip crowd each other, and one that is left out makes neighbours of those around it. The choice is
the best of all under one order of worth: fewest left out, fewest crowded neighbours, nearest stand-ins.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import NamedTuple

from engine.model import Slug
from engine.movement import (
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
SEARCHED_STEPS = 20_000
"""Where a search takes more steps, the best choice found so far stands; no sensible round comes near."""

_HOLD = StartsWith.hold

Cost = tuple[int, ...]
"""Left out, crowded neighbours, then the distances place by place; compared from the left."""
HERE: Cost = (0,) * 8
"""The distance of a movement that stays as planned."""
NOTHING: Cost = (0, 0, *HERE)
LEFT_OUT: Cost = (1, 0, *HERE)


class Option(NamedTuple):
    """A movement in one form, and how far it is from the one planned; the smaller tuple is the nearer."""

    movement: Movement
    form: Form
    distance: Cost = HERE


@dataclass(frozen=True)
class Place:
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
    found = []
    for index, candidate in enumerate(known.values()):
        kinship = 1 if candidate.slug == coachs_easier else _kinship(candidate, planned)
        if kinship is None:
            continue
        off_chain = int(candidate.slug not in chain)
        another_kind = int((candidate.starts_with is _HOLD) is not (planned.starts_with is _HOLD))
        for place, form in enumerate(forms_of(candidate.slug)):
            step = candidate.level_of(form) - planned.level_of(usual)
            if step > HARDEST_STEP:
                continue
            rare = int(not NOT_IN_EVERY_HOME.isdisjoint(form.needs))
            near = abs(step) + another_kind + off_chain
            unlike = _unlike(candidate, form, planned, usual)
            distance = (kinship, rare, max(step, 0), near, off_chain, unlike, index, place)
            found.append(Option(candidate, form, distance))
    return tuple(sorted(found, key=lambda option: option.distance))


def _unlike(candidate: Movement, form: Form, planned: Movement, usual: Form) -> int:
    """In how much two forms differ: on the floor or not, what changes sides, the joints that are stressed."""
    joints = len(candidate.stressed_in(form) ^ planned.stressed_in(usual))
    posture = 2 * (form.on_floor is not usual.on_floor)
    return joints + posture + (sides_of(form) is not sides_of(usual))


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


def best_round(places: Sequence[Place]) -> tuple[Option | None, ...]:
    """The best option for each place of a round, None where none is left; a round closes on itself."""
    settled = [next(iter(place.options), None) for place in places]
    slugs = [option.movement.slug for option in settled if option is not None]
    if len(slugs) == len(set(slugs)) and all(len(place.options) <= 1 for place in places):
        return tuple(settled)
    return _Search(tuple(_thinned(place, len(places)) for place in places)).best()


def _thinned(place: Place, wanted: int) -> Place:
    """Without options that no best choice needs: of one region and grip, so many movements are enough."""
    kept: list[Option] = []
    taken: dict[tuple[Region, bool], set[Slug]] = {}
    for option in place.options:
        alike = taken.setdefault((option.movement.region, option.form.grip_heavy), set())
        if option.movement.slug not in alike and len(alike) < wanted:
            alike.add(option.movement.slug)
            kept.append(option)
    return replace(place, options=tuple(kept))


class _Stood(NamedTuple):
    """What the neighbours of a filled place see of it."""

    at: int
    region: Region
    grip_heavy: bool


Ends = tuple[_Stood | None, _Stood | None]
"""The first and the last filled place so far."""


class _Search:
    """Depth first, the most promising option first; a branch that cannot become the best is cut.

    What a branch costs at least is what it would cost if a movement might stand twice.
    """

    def __init__(self, places: tuple[Place, ...]) -> None:
        self.places = places
        self.at_least = cache(self._at_least)
        self.steps = 0
        self.found: tuple[Option | None, ...] = (None,) * len(places)
        self.found_cost: Cost | None = None

    def best(self) -> tuple[Option | None, ...]:
        self._extend((), NOTHING, (None, None))
        return self.found

    def _extend(self, path: tuple[Option | None, ...], cost: Cost, ends: Ends) -> None:
        self.steps += 1
        if len(path) == len(self.places):
            self.found, self.found_cost = path, _sum(cost, self._closing(ends))
            return
        used = {option.movement.slug for option in path if option is not None}
        ways = [
            (_sum(cost, more, self.at_least(len(path) + 1, after)), _sum(cost, more), option, after)
            for option, more, after in self._ways(len(path), ends)
            if option is None or option.movement.slug not in used
        ]
        for bound, spent, option, after in sorted(ways, key=lambda way: way[0]):
            if self.found_cost is None or (bound < self.found_cost and self.steps < SEARCHED_STEPS):
                self._extend((*path, option), spent, after)

    def _at_least(self, at: int, ends: Ends) -> Cost:
        if at == len(self.places):
            return self._closing(ends)
        return min(_sum(more, self.at_least(at + 1, after)) for _, more, after in self._ways(at, ends))

    def _ways(self, at: int, ends: Ends) -> Iterator[tuple[Option | None, Cost, Ends]]:
        """Each way to fill a place: the option, what it adds to the cost, and the ends it leads to."""
        for option in self.places[at].options:
            stood = _Stood(at, option.movement.region, option.form.grip_heavy)
            crowded = int(self._crowd(ends[1], stood))
            yield option, (0, crowded, *option.distance), (ends[0] or stood, stood)
        yield None, LEFT_OUT, ends

    def _closing(self, ends: Ends) -> Cost:
        """What the last and the first of a round cost as neighbours."""
        return (0, int(ends[0] != ends[1] and self._crowd(ends[1], ends[0])), *HERE)

    def _crowd(self, one: _Stood | None, other: _Stood | None) -> bool:
        """Whether neighbours share a region or a hard grip where the plan did not put it so."""
        if one is None or other is None:
            return False
        planned, beside = self.places[one.at], self.places[other.at]
        in_a_row = (one.at + 1) % len(self.places) == other.at
        region = one.region is other.region and not (in_a_row and planned.region is beside.region)
        grip_as_planned = in_a_row and planned.grip_heavy and beside.grip_heavy
        return region or (one.grip_heavy and other.grip_heavy and not grip_as_planned)


def _sum(*costs: Cost) -> Cost:
    return tuple(map(sum, zip(*costs, strict=True)))
