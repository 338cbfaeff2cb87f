"""What a fit decides, in the order of worth that a plan declares, within what less pain gives.

Pain buys no volume: what the same minutes give with less pain is never exceeded with more. Time that a spared
joint frees goes to what was cut, such as practice or the cool-down; else the session ends earlier.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from engine.fit.lengths import Rounds, Undecided
from engine.fit.levers import Lever
from engine.plan.allowances import allowances_of
from engine.plan.plan import Buys, GiveUp, SessionPlan, WarmUpBlock
from engine.session.choices import Choices

Ranges = Mapping[str, tuple[int, int]]
"""The fewest and the most rounds by block id."""


@dataclass(frozen=True)
class LeverDecision:
    """How far one lever, given by its number, is spent; rank 0 leaves it as planned.

    ``sorted`` says that no value makes the session longer than the one ranked before it. ``first`` is the
    best rank that may be taken.
    """

    lever: int
    size: int
    sorted: bool
    first: int = 0

    def take(self, draft: Undecided, rank: int) -> Undecided:
        """The draft with the value of this rank, from 0, the best, to below ``size``."""
        return draft.with_step(self.lever, rank)


@dataclass(frozen=True)
class RoundsDecision:
    """How many rounds some blocks have.

    ``ways`` lists the possible rounds, best first. No way has more in any block than the one before.
    ``first`` is the best rank that may be taken.
    """

    ways: tuple[Rounds, ...]
    first: int = 0
    sorted = True

    @property
    def size(self) -> int:
        """How many ways there are."""
        return len(self.ways)

    def take(self, draft: Undecided, rank: int) -> Undecided:
        """The draft with the way of this rank, from 0, the best, to below ``size``."""
        return draft.with_rounds(self.ways[rank])


Decision = LeverDecision | RoundsDecision


def decisions_of(plan: SessionPlan, levers: Sequence[Lever], work: Ranges) -> tuple[Decision, ...]:
    """The decisions in the plan's order of worth, with these ranges of rounds for the work blocks."""
    ranges = {GiveUp.extra_rounds: dict(work), GiveUp.extra_warm_up: _warm_up_ranges(plan)}
    allowed = _of_allowances(plan, levers, ranges)
    by_kind = {
        Buys.allowances: allowed[::-1],
        Buys.rounds: bought(ranges[GiveUp.extra_rounds]),
        Buys.warm_up: bought(ranges[GiveUp.extra_warm_up]),
    }
    order = [*plan.buys, *(kind for kind in Buys if kind not in plan.buys)]
    return tuple(decision for kind in order for decision in by_kind[kind])


def _warm_up_ranges(plan: SessionPlan) -> dict[str, tuple[int, int]]:
    blocks = (block for block in plan.blocks if isinstance(block, WarmUpBlock))
    return {block.id: (block.rounds.min, block.rounds.max) for block in blocks}


def _of_allowances(
    plan: SessionPlan, levers: Sequence[Lever], ranges: Mapping[GiveUp, dict[str, tuple[int, int]]]
) -> list[Decision]:
    """A decision for each allowance, first given up first. Takes the blocks it covers out of ``ranges``."""
    named = {a.block for a in allowances_of(plan) if a.give_up in ranges and a.block is not None}
    numbers = {(lever.code, lever.block): number for number, lever in enumerate(levers)}
    found: list[Decision] = []
    for allowance in allowances_of(plan):
        number = numbers.get((allowance.give_up, allowance.block))
        left = ranges.get(allowance.give_up)
        if number is not None:
            lever = levers[number]
            found.append(LeverDecision(number, len(lever.steps), lever.shortens))
        elif left is not None:
            everywhere = allowance.block is None
            meant = [b for b in left if (b not in named if everywhere else b == allowance.block)]
            found += bought({block: left.pop(block) for block in meant})
    return found


def bought(ranges: Ranges) -> list[Decision]:
    """The decision on these rounds, where there are any to decide on."""
    return [RoundsDecision(round_vectors(ranges))] if ranges else []


def round_vectors(ranges: Ranges) -> tuple[Rounds, ...]:
    """The ways to set the rounds, most rounds first.

    Blocks get their rounds in turns, the earlier block first. So none runs ahead of another, and more minutes
    never take a round from one block to give it to another.
    """
    ways = [{block: low for block, (low, _) in ranges.items()}]
    while growing := [block for block, (_, high) in ranges.items() if ways[-1][block] < high]:
        now = ways[-1]
        behind = min(growing, key=lambda block: now[block] - ranges[block][0])
        ways.append({**now, behind: now[behind] + 1})
    return tuple(reversed(ways))


@dataclass(frozen=True)
class Limit:
    """The most ``rounds`` by block id, and the optional movements that are ``gone``, each as
    ``block:movement``. Blocks that are missing have no limit."""

    rounds: Mapping[str, int]
    gone: frozenset[str] = frozenset()


NO_LIMIT = Limit({})


def limit_of(milder: Iterable[Choices]) -> Limit:
    """What none of these sessions exceeds."""
    rounds: dict[str, int] = {}
    gone: set[str] = set()
    for one in milder:
        gone |= set(one.without_optional)
        rounds |= {block: min(number, rounds.get(block, number)) for block, number in one.rounds.items()}
    return Limit(rounds, frozenset(gone))


def within(
    decisions: Sequence[Decision], limit: Limit, levers: Sequence[Lever], start: Choices
) -> tuple[Decision, ...] | None:
    """The decisions with the best rank that each may take; None where one may take none."""
    if limit == NO_LIMIT:
        return tuple(decisions)
    kept: list[Decision] = []
    for one in decisions:
        if isinstance(one, LeverDecision):
            kept.append(replace(one, first=_first_step(levers[one.lever], limit, start)))
        elif (first := _first_way(one, limit)) is not None:
            kept.append(replace(one, first=first))
        else:
            return None
    return tuple(kept)


def _first_way(decision: RoundsDecision, limit: Limit) -> int | None:
    return next(
        (
            rank
            for rank, way in enumerate(decision.ways)
            if all(rounds <= limit.rounds.get(block, rounds) for block, rounds in way.items())
        ),
        None,
    )


def _first_step(lever: Lever, limit: Limit, start: Choices) -> int:
    """The first step that leaves out what is gone. A lever that is not sure to shorten stays free."""
    if lever.code is not GiveUp.optional_movements or not lever.shortens:
        return 0
    gone = [set(step(start).without_optional) for step in lever.steps]
    meant = limit.gone & gone[-1]
    return next(rank for rank, names in enumerate(gone) if meant <= names)
