"""The balance of a plan's work: sets by pattern, push and pull, squat and hinge, lower and upper body.

A set is one work interval of a movement. It counts for the movement's own pattern only.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from engine.base.phrases import listed, upper_first
from engine.movements.movement import Movement, MovementPattern, Region
from engine.movements.words import pattern_word
from engine.plan.plan import SessionPlan, WorkBlock

PUSH = (MovementPattern.horizontal_push, MovementPattern.vertical_push)
PULL = (MovementPattern.horizontal_pull, MovementPattern.vertical_pull)
SQUAT = (MovementPattern.squat, MovementPattern.lunge)
HINGE = (MovementPattern.hinge,)
UNEVEN = 1.5
"""From this ratio on, two kinds of work are called uneven. † Our judgement, no source."""

Sets = dict[MovementPattern, tuple[int, int]]
"""The sets of a pattern at the fewest and at the most rounds."""


def sets_by_pattern(plan: SessionPlan) -> Sets:
    """The sets of each pattern that a plan works, the pattern with the most first."""
    known = plan.known_movements()
    fewest, most = Counter[MovementPattern](), Counter[MovementPattern]()
    for block in plan.work_blocks():
        for item in block.movements:
            pattern = known[item.movement].pattern
            fewest[pattern] += block.rounds.min
            most[pattern] += block.rounds.max
    return {pattern: (fewest[pattern], number) for pattern, number in most.most_common()}


def balance_sentences(plan: SessionPlan) -> Iterator[str]:
    """The balance of a plan free of faults, in plain sentences."""
    sets = sets_by_pattern(plan)
    by_pattern = (f"{pattern_word(pattern)} {_range(number)}" for pattern, number in sets.items())
    yield f"Sets: {', '.join(by_pattern)}."
    yield _compared(sets, ("push", PUSH), ("pull", PULL))
    yield _compared(sets, ("squat and lunge", SQUAT), ("hinge", HINGE))
    known = plan.known_movements()
    for number, block in enumerate(plan.blocks, 1):
        if isinstance(block, WorkBlock):
            yield f"Block {number}: {_turns(block, [known[item.movement] for item in block.movements])}"


_Patterns = tuple[str, Sequence[MovementPattern]]
"""Some patterns, and the name they go by."""


def _compared(sets: Sets, one: _Patterns, other: _Patterns) -> str:
    """“Push 6, pull 3: clearly more push than pull.”"""
    (first, here), (second, there) = ((name, _most(sets, patterns)) for name, patterns in (one, other))
    if not here and not there:
        return f"Neither {first} nor {second}."
    if not here or not there:
        there_is, missing = (first, second) if here else (second, first)
        return f"{upper_first(there_is)} {here or there}, and no {missing}."
    said = f"{upper_first(first)} {here}, {second} {there}"
    if max(here, there) < UNEVEN * min(here, there):
        return f"{said}: about as much of each."
    more, less = (first, second) if here > there else (second, first)
    return f"{said}: clearly more {more} than {less}."


def _most(sets: Sets, patterns: Sequence[MovementPattern]) -> int:
    return sum(sets[pattern][1] for pattern in patterns if pattern in sets)


def _turns(block: WorkBlock, movements: Sequence[Movement]) -> str:
    """Whether lower and upper body take turns, also from one round to the next."""
    again = movements[:1] if block.rounds.max > 1 and len(movements) > 1 else []
    for one, next_one in pairwise([*movements, *again]):
        if one.region is next_one.region is not Region.trunk:
            return f"{next_one.name} comes straight after {one.name}, both {one.region} body."
    regions = {one.region for one in movements}
    if {Region.lower_body, Region.upper_body} <= regions:
        return "lower and upper body take turns."
    return f"only {listed(sorted(one if one is Region.trunk else f'{one} body' for one in regions))}."


def _range(number: tuple[int, int]) -> str:
    fewest, most = number
    return str(most) if fewest == most else f"{fewest}–{most}"
