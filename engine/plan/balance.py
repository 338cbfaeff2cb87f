"""The balance of a plan's work: sets by pattern, push and pull, squat and hinge, lower and upper body.

A set is one work interval of a movement. It counts for the movement's own pattern only.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from engine.base.message import Count, Message, listed, message
from engine.movements.movement import Movement, MovementPattern, Region
from engine.movements.terms import movement_term, pattern_term, region_term
from engine.plan.plan import SessionPlan, WorkBlock

PUSH = (MovementPattern.horizontal_push, MovementPattern.vertical_push)
PULL = (MovementPattern.horizontal_pull, MovementPattern.vertical_pull)
SQUAT = (MovementPattern.squat, MovementPattern.lunge)
HINGE = (MovementPattern.hinge,)
UNEVEN = 1.5
"""From this ratio on, two kinds of work are called uneven. † Our judgement, no source."""

Patterns = Sequence[MovementPattern]
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


def balance(plan: SessionPlan) -> Iterator[Message]:
    """The balance of a plan free of faults."""
    sets = sets_by_pattern(plan)
    yield message("sets_by_pattern", sets=listed(_sets_of(*one) for one in sets.items()))
    yield _push_and_pull(sets)
    yield _squat_and_hinge(sets)
    known = plan.known_movements()
    for number, block in enumerate(plan.blocks, 1):
        if isinstance(block, WorkBlock):
            said = _turns(block, [known[item.movement] for item in block.movements])
            yield message("in_block", block=Count(count=number), said=said)


def _sets_of(pattern: MovementPattern, number: tuple[int, int]) -> Message:
    fewest, most = (Count(count=one) for one in number)
    if fewest == most:
        return message("sets_of_pattern", pattern=pattern_term(pattern), sets=most)
    return message("sets_of_pattern_between", pattern=pattern_term(pattern), fewest=fewest, most=most)


def _push_and_pull(sets: Sets) -> Message:
    push, pull = _most(sets, PUSH), _most(sets, PULL)
    one, other = Count(count=push), Count(count=pull)
    return _compared(
        push,
        pull,
        neither=message("no_push_no_pull"),
        even=message("even_push_pull", one=one, other=other),
        more=message("more_push", one=one, other=other),
        less=message("more_pull", one=one, other=other),
    )


def _squat_and_hinge(sets: Sets) -> Message:
    squat, hinge = _most(sets, SQUAT), _most(sets, HINGE)
    one, other = Count(count=squat), Count(count=hinge)
    return _compared(
        squat,
        hinge,
        neither=message("no_squat_no_hinge"),
        even=message("even_squat_hinge", one=one, other=other),
        more=message("more_squat", one=one, other=other),
        less=message("more_hinge", one=one, other=other),
    )


def _compared(
    one: int, other: int, *, neither: Message, even: Message, more: Message, less: Message
) -> Message:
    """What is said of two kinds of work, by their sets."""
    if not one and not other:
        return neither
    if max(one, other) < UNEVEN * min(one, other):
        return even
    return more if one > other else less


def _most(sets: Sets, patterns: Patterns) -> int:
    return sum(sets[pattern][1] for pattern in patterns if pattern in sets)


def _turns(block: WorkBlock, movements: Sequence[Movement]) -> Message:
    """Whether lower and upper body take turns, also from one round to the next."""
    again = movements[:1] if block.rounds.max > 1 and len(movements) > 1 else []
    for one, next_one in pairwise([*movements, *again]):
        first, second = movement_term(one), movement_term(next_one)
        if one.region is next_one.region is Region.lower_body:
            return message("lower_body_in_a_row", first=first, second=second)
        if one.region is next_one.region is Region.upper_body:
            return message("upper_body_in_a_row", first=first, second=second)
    regions = {one.region for one in movements}
    if {Region.lower_body, Region.upper_body} <= regions:
        return message("regions_take_turns")
    return message("only_regions", regions=listed(map(region_term, sorted(regions))))
