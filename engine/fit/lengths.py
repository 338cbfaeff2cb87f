"""How long a session gets, and how short it can still get while some things are undecided.

Nothing is compiled: a block is reckoned once for each way its own levers can stand, and a session is the sum
of its blocks and of the ways between them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import product
from operator import itemgetter
from typing import NamedTuple

from engine.base.units import ms
from engine.fit.levers import Lever
from engine.plan.plan import Block, SessionPlan
from engine.session.choices import Choices, ChosenByBlock
from engine.session.timeline import LEAD_IN_S, BlockLength, block_length

Rounds = Mapping[str, int]
"""Rounds by block id, for the blocks that have any."""

Places = tuple[int | None, ...]
"""On which step each lever stands, None while that is open."""


class Undecided(NamedTuple):
    """A session half decided; rounds that are open stand at their fewest."""

    places: Places
    rounds: Rounds

    def at(self, lever: int, place: int | None) -> Undecided:
        return Undecided((*self.places[:lever], place, *self.places[lever + 1 :]), self.rounds)

    def with_rounds(self, rounds: Rounds) -> Undecided:
        return Undecided(self.places, {**self.rounds, **rounds})


class _Cost(NamedTuple):
    """The least a block adds as the first of the session (None where nothing can be left of it), and after
    others; and whether it can be left out altogether."""

    first_ms: int | None
    later_ms: int
    may_vanish: bool


class Lengths:
    """The lengths of one plan for one person. Remembers what was reckoned; its answers never change."""

    def __init__(
        self, plan: SessionPlan, movements: ChosenByBlock, start: Choices, levers: Sequence[Lever]
    ) -> None:
        self._plan, self._movements, self._levers = plan, movements, tuple(levers)
        self._start = start.model_copy(update={"rounds": dict.fromkeys(start.rounds, 2)})
        self._touching = [
            tuple(number for number, lever in enumerate(levers) if block.id in lever.blocks)
            for block in plan.blocks
        ]
        self._backwards = [
            (index, plan.blocks[index].id, _picker(self._touching[index]))
            for index in range(len(plan.blocks) - 1, -1, -1)
        ]
        # A block's least length can be found by itself, unless a lever whose steps have to be compared
        # moves several blocks at once: then each of its steps is tried on all of them.
        self._across = [
            number for number, lever in enumerate(levers) if not lever.shortens and len(lever.blocks) > 1
        ]
        self._lengths: dict[tuple[int, Places], BlockLength | None] = {}
        self._costs: dict[tuple[int, Places, int], _Cost] = {}

    def least_ms(self, draft: Undecided) -> int:
        """The length of the shortest session that the draft can still become; of the session itself where all
        is decided."""
        if not self._across:
            return self._least_ms(draft.places, draft.rounds)
        return min(self._least_ms(places, draft.rounds) for places in self._ways_across(draft.places))

    def of_block(self, index: int, draft: Undecided) -> tuple[Places, int]:
        """What a block of the draft depends on: the places of the levers that touch it, and its rounds."""
        own = tuple(draft.places[number] for number in self._touching[index])
        return own, draft.rounds.get(self._plan.blocks[index].id, 1)

    def _ways_across(self, places: Places) -> Iterator[Places]:
        """The places with every lever decided that moves several blocks and whose steps are compared."""
        choices = [
            range(len(lever.steps))
            if number in self._across and places[number] is None
            else (places[number],)
            for number, lever in enumerate(self._levers)
        ]
        return product(*choices)

    def _least_ms(self, places: Places, rounds: Rounds) -> int:
        """From the last block to the first: what follows, and the least from here on if this comes first."""
        later_ms, first_ms = 0, 0
        for index, block, own in self._backwards:
            key = (index, own(places), rounds.get(block, 1))
            cost = self._costs.get(key)
            if cost is None:
                cost = self._costs[key] = self._reckon(*key)
            opening_ms = first_ms if cost.first_ms is None else cost.first_ms + later_ms
            first_ms = min(first_ms, opening_ms) if cost.may_vanish else opening_ms
            later_ms += cost.later_ms
        return first_ms

    def _reckon(self, index: int, own: Places, rounds: int) -> _Cost:
        ways = {self._length(index, way) for way in product(*self._candidates(index, own))}
        present = [way for way in ways if way is not None]
        all_ms = {way: way.once_ms + (rounds - 1) * way.again_ms for way in present}
        first_ms = min((all_ms[way] + (ms(LEAD_IN_S) if way.clocked else 0) for way in present), default=None)
        later_ms = ms(self._plan.transition_s) + min(all_ms.values(), default=0)
        return _Cost(first_ms, 0 if None in ways else later_ms, None in ways)

    def _candidates(self, index: int, own: Places) -> Iterator[Sequence[int]]:
        """For each lever that touches the block, the steps among which the shortest length lies."""
        for number, place in zip(self._touching[index], own, strict=True):
            lever = self._levers[number]
            last = len(lever.steps) - 1
            if place is not None:
                yield (place,)
            elif lever.shortens:
                yield (last,)
            else:
                yield range(last + 1)

    def _length(self, index: int, way: Sequence[int]) -> BlockLength | None:
        key = (index, tuple(way))
        if key not in self._lengths:
            choices = self._start
            for number, place in zip(self._touching[index], way, strict=True):
                choices = self._levers[number].steps[place](choices)
            block: Block = self._plan.blocks[index]
            self._lengths[key] = block_length(self._plan, block, choices, self._movements)
        return self._lengths[key]


def _picker(numbers: tuple[int, ...]) -> Callable[[Places], Places]:
    """Takes the places of some levers out of all, as fast as may be."""
    if len(numbers) > 1:
        return itemgetter(*numbers)
    return lambda places: tuple(places[number] for number in numbers)
