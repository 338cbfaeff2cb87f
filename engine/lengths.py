"""How long a session gets, and how short it can still get while some things are undecided.

Nothing is compiled: a block is reckoned once for each way its own levers can stand, and a session is the sum
of its blocks and of the ways between them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import NamedTuple

from engine.levers import Lever
from engine.plan import LEAD_IN_S, Block, SessionPlan
from engine.segment import Choices
from engine.timeline import BlockLength, Movements, block_length
from engine.units import ms

Rounds = Mapping[str, int]
"""Rounds by block id, for the blocks that have any."""


@dataclass(frozen=True)
class Draft:
    """A session half decided: on which step each lever stands, None while that is open, and the rounds."""

    places: tuple[int | None, ...]
    rounds: Rounds

    def at(self, lever: int, place: int | None) -> Draft:
        return replace(self, places=(*self.places[:lever], place, *self.places[lever + 1 :]))

    def with_rounds(self, rounds: Rounds) -> Draft:
        return replace(self, rounds={**self.rounds, **rounds})


class _Cost(NamedTuple):
    """The least a block adds as the first of the session (None where nothing can be left of it), and after
    others; and whether it can be left out altogether."""

    first_ms: int | None
    later_ms: int
    may_vanish: bool


class Lengths:
    """The lengths of one plan for one person. Remembers what was reckoned; its answers never change."""

    def __init__(
        self, plan: SessionPlan, movements: Movements, start: Choices, levers: Sequence[Lever]
    ) -> None:
        self._plan, self._movements, self._start, self._levers = plan, movements, start, tuple(levers)
        self._touching = [
            tuple(number for number, lever in enumerate(levers) if block.id in lever.blocks)
            for block in plan.blocks
        ]
        # A block's least length can be found by itself, unless a lever whose steps have to be compared
        # moves several blocks at once: then each of its steps is tried on all of them.
        self._across = [
            number for number, lever in enumerate(levers) if not lever.shortens and len(lever.blocks) > 1
        ]
        self._lengths: dict[tuple[int, tuple[int, ...]], BlockLength | None] = {}
        self._costs: dict[tuple[int, tuple[int | None, ...], int], _Cost] = {}

    def least_ms(self, draft: Draft) -> int:
        """The length of the shortest session that the draft can still become; of the session itself where all
        is decided."""
        return min(self._least_ms(places, draft.rounds) for places in self._ways_across(draft.places))

    def _ways_across(self, places: tuple[int | None, ...]) -> Iterator[Sequence[int | None]]:
        open_ones = [number for number in self._across if places[number] is None]
        if not open_ones:
            yield places
            return
        for way in product(*(range(len(self._levers[number].steps)) for number in open_ones)):
            decided = list(places)
            for number, place in zip(open_ones, way, strict=True):
                decided[number] = place
            yield decided

    def _least_ms(self, places: Sequence[int | None], rounds: Rounds) -> int:
        """From the last block to the first: what follows, and the least from here on if this comes first."""
        later_ms, first_ms = 0, 0
        for index in range(len(self._touching) - 1, -1, -1):
            cost = self._cost(index, places, rounds)
            ways = [first_ms] if cost.may_vanish else []
            if cost.first_ms is not None:
                ways.append(cost.first_ms + later_ms)
            first_ms = min(ways)
            later_ms += cost.later_ms
        return first_ms

    def _cost(self, index: int, places: Sequence[int | None], rounds: Rounds) -> _Cost:
        block = self._plan.blocks[index]
        own = tuple(places[number] for number in self._touching[index])
        key = (index, own, rounds.get(block.id, 1))
        if key not in self._costs:
            self._costs[key] = self._reckon(index, own, key[2])
        return self._costs[key]

    def _reckon(self, index: int, own: tuple[int | None, ...], rounds: int) -> _Cost:
        ways = {self._length(index, way) for way in product(*self._candidates(index, own))}
        present = [way for way in ways if way is not None]
        all_ms = {way: way.once_ms + (rounds - 1) * way.again_ms for way in present}
        first_ms = min((all_ms[way] + (ms(LEAD_IN_S) if way.clocked else 0) for way in present), default=None)
        later_ms = ms(self._plan.transition_s) + min(all_ms.values(), default=0)
        return _Cost(first_ms, 0 if None in ways else later_ms, None in ways)

    def _candidates(self, index: int, own: tuple[int | None, ...]) -> Iterator[Sequence[int]]:
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

    def _length(self, index: int, way: tuple[int, ...]) -> BlockLength | None:
        key = (index, way)
        if key not in self._lengths:
            choices = self._start
            for number, place in zip(self._touching[index], way, strict=True):
                choices = self._levers[number].steps[place](choices)
            block: Block = self._plan.blocks[index]
            self._lengths[key] = block_length(self._plan, block, choices, self._movements)
        return self._lengths[key]
