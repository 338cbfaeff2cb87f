"""Volume and balance of a plan's work: sets by pattern, push and pull, squat and hinge, lower and upper.

A set is one work interval of a movement. What a movement trains besides is not counted here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from engine.movements.movement import Movement, MovementPattern, Region
from engine.plan.plan import SessionPlan, WorkBlock

P = MovementPattern
PUSH, PULL = (P.horizontal_push, P.vertical_push), (P.horizontal_pull, P.vertical_pull)
SQUAT, HINGE = (P.squat, P.lunge), (P.hinge,)
UNEVEN = 1.5
"""So many times as much is told as uneven. † Our judgement, no source."""

Sets = dict[MovementPattern, tuple[int, int]]


def sets_by_pattern(plan: SessionPlan) -> Sets:
    """The sets of each pattern at the fewest and at the most rounds, the largest first."""
    known, fewest, most = plan.known_movements(), Counter[P](), Counter[P]()
    for block in plan.work_blocks():
        for item in block.movements:
            pattern = known[item.movement].pattern
            fewest[pattern] += block.rounds.min
            most[pattern] += block.rounds.max
    return {pattern: (fewest[pattern], number) for pattern, number in most.most_common()}


def balance_sentences(plan: SessionPlan) -> Iterator[str]:
    """The balance of a plan free of faults, in plain sentences."""
    sets = sets_by_pattern(plan)
    yield f"Sets: {', '.join(f'{_word(pattern)} {_range(number)}' for pattern, number in sets.items())}."
    yield _against(sets, ("push", PUSH), ("pull", PULL))
    yield _against(sets, ("squat and lunge", SQUAT), ("hinge", HINGE))
    known = plan.known_movements()
    for number, block in enumerate(plan.blocks, 1):
        if isinstance(block, WorkBlock):
            yield f"Block {number}: {_order(block, [known[item.movement] for item in block.movements])}"


Side = tuple[str, Sequence[MovementPattern]]


def _against(sets: Sets, one: Side, other: Side) -> str:
    """“Push 6 sets, pull 3: more push than pull.”"""
    (first, here), (second, there) = ((name, _most(sets, patterns)) for name, patterns in (one, other))
    if not here and not there:
        return f"Neither {first} nor {second}."
    if not here or not there:
        there_is, missing = (first, second) if here else (second, first)
        return f"{there_is.capitalize()} {here or there}, and no {missing}."
    said = f"{first.capitalize()} {here}, {second} {there}"
    if max(here, there) < UNEVEN * min(here, there):
        return f"{said}: about as much of each."
    more, less = (first, second) if here > there else (second, first)
    return f"{said}: clearly more {more} than {less}."


def _most(sets: Sets, patterns: Sequence[MovementPattern]) -> int:
    return sum(sets[pattern][1] for pattern in patterns if pattern in sets)


def _order(block: WorkBlock, movements: Sequence[Movement]) -> str:
    """Whether lower and upper body take turns, from round to round too."""
    again = movements[:1] if block.rounds.max > 1 and len(movements) > 1 else []
    for one, next_one in pairwise([*movements, *again]):
        if one.region is next_one.region is not Region.trunk:
            return f"{next_one.name} comes straight after {one.name}, both {one.region} body."
    regions = {one.region for one in movements}
    if {Region.lower_body, Region.upper_body} <= regions:
        return "lower and upper body take turns."
    return f"only {' and '.join(sorted(regions))}."


def _word(pattern: MovementPattern) -> str:
    return pattern.replace("_", " ")


def _range(number: tuple[int, int]) -> str:
    fewest, most = number
    return str(most) if fewest == most else f"{fewest}–{most}"
