"""How long a session gets, and how short it can still get while some things are undecided.

No session is built for this. A block is reckoned once for each way in which its own levers can be set, and
the length of a session is the sum of its blocks and of the ways into them.
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

Steps = tuple[int | None, ...]
"""The number of the step that each lever is at; None while that is open."""


class Undecided(NamedTuple):
    """A session half decided. Rounds that are open are at their fewest."""

    steps: Steps
    rounds: Rounds

    def with_step(self, lever: int, step: int | None) -> Undecided:
        """The same draft with one lever, given by its number, at a step; None leaves it open."""
        return Undecided((*self.steps[:lever], step, *self.steps[lever + 1 :]), self.rounds)

    def with_rounds(self, rounds: Rounds) -> Undecided:
        """The same draft with other rounds for some blocks."""
        return Undecided(self.steps, {**self.rounds, **rounds})

    def spent_further_than(self, other: Undecided) -> list[int]:
        """The levers at a later step than in another draft, by number; an open lever counts as planned."""
        pairs = zip(other.steps, self.steps, strict=True)
        return [number for number, (there, here) in enumerate(pairs) if (here or 0) > (there or 0)]


class _Cost(NamedTuple):
    """The least that a block adds to a session.

    ``first_ms`` is for the first block, None where nothing of it can be left; ``later_ms`` is for any other.
    ``may_vanish`` says that it can be left out altogether.
    """

    first_ms: int | None
    later_ms: int
    may_vanish: bool


class Lengths:
    """The lengths of one plan for one person. It remembers what it has reckoned; its answers never change."""

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
        # The least length of a block can be found by itself, unless a lever whose steps have to be compared
        # moves several blocks at once. Then each of its steps is tried on all of them.
        self._across = [
            number for number, lever in enumerate(levers) if not lever.shortens and len(lever.blocks) > 1
        ]
        self._lengths: dict[tuple[int, Steps], BlockLength | None] = {}
        self._costs: dict[tuple[int, Steps, int], _Cost] = {}

    def least_ms(self, draft: Undecided) -> int:
        """The length of the shortest session that a draft can still become."""
        if not self._across:
            return self._least_ms(draft.steps, draft.rounds)
        return min(self._least_ms(steps, draft.rounds) for steps in self._ways_across(draft.steps))

    def of_block(self, index: int, draft: Undecided) -> tuple[Steps, int]:
        """What block number ``index`` depends on: the steps of the levers that touch it, and its rounds."""
        own = tuple(draft.steps[number] for number in self._touching[index])
        return own, draft.rounds.get(self._plan.blocks[index].id, 1)

    def _ways_across(self, steps: Steps) -> Iterator[Steps]:
        """The steps with a value for every open lever whose steps are tried on several blocks at once."""
        choices = [
            range(len(lever.steps)) if number in self._across and steps[number] is None else (steps[number],)
            for number, lever in enumerate(self._levers)
        ]
        return product(*choices)

    def _least_ms(self, steps: Steps, rounds: Rounds) -> int:
        """Goes backwards through the blocks with two sums: the least length from here on after other blocks,
        and the least length if the session starts here.
        """
        later_ms, first_ms = 0, 0
        for index, block, own in self._backwards:
            key = (index, own(steps), rounds.get(block, 1))
            cost = self._costs.get(key)
            if cost is None:
                cost = self._costs[key] = self._reckon(*key)
            opening_ms = first_ms if cost.first_ms is None else cost.first_ms + later_ms
            first_ms = min(first_ms, opening_ms) if cost.may_vanish else opening_ms
            later_ms += cost.later_ms
        return first_ms

    def _reckon(self, index: int, own: Steps, rounds: int) -> _Cost:
        ways = {self._length(index, way) for way in product(*self._candidates(index, own))}
        present = [way for way in ways if way is not None]
        all_ms = {way: way.once_ms + (rounds - 1) * way.again_ms for way in present}
        first_ms = min((all_ms[way] + (ms(LEAD_IN_S) if way.clocked else 0) for way in present), default=None)
        later_ms = 0 if None in ways else ms(self._plan.transition_s) + min(all_ms.values())
        return _Cost(first_ms, later_ms, None in ways)

    def _candidates(self, index: int, own: Steps) -> Iterator[Sequence[int]]:
        """For each lever that touches the block, the steps among which the shortest length is found."""
        for number, step in zip(self._touching[index], own, strict=True):
            lever = self._levers[number]
            last = len(lever.steps) - 1
            if step is not None:
                yield (step,)
            elif lever.shortens:
                yield (last,)
            else:
                yield range(last + 1)

    def _length(self, index: int, way: Sequence[int]) -> BlockLength | None:
        key = (index, tuple(way))
        if key not in self._lengths:
            choices = self._start
            for number, step in zip(self._touching[index], way, strict=True):
                choices = self._levers[number].steps[step](choices)
            block: Block = self._plan.blocks[index]
            self._lengths[key] = block_length(self._plan, block, choices, self._movements)
        return self._lengths[key]


def _picker(numbers: tuple[int, ...]) -> Callable[[Steps], Steps]:
    """A function that takes the steps of some levers out of all, as fast as it can."""
    if len(numbers) > 1:
        return itemgetter(*numbers)
    return lambda steps: tuple(steps[number] for number in numbers)
