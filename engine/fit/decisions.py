"""What a fit decides, in the order of worth that a plan declares."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from engine.fit.lengths import Rounds, Undecided
from engine.fit.levers import Lever
from engine.plan.allowances import allowances_of
from engine.plan.plan import Buys, GiveUp, SessionPlan, WarmUpBlock

Ranges = Mapping[str, tuple[int, int]]
"""The fewest and the most rounds by block id."""


@dataclass(frozen=True)
class LeverDecision:
    """How far a lever is spent, as planned first. ``sorted``: a later step is never longer."""

    lever: int
    steps: int
    sorted: bool

    def take(self, draft: Undecided, place: int) -> Undecided:
        return draft.at(self.lever, place)


@dataclass(frozen=True)
class RoundsDecision:
    """How many rounds some blocks have, best first; each way has no more in any block than the one before."""

    ways: tuple[Rounds, ...]
    sorted = True

    @property
    def steps(self) -> int:
        return len(self.ways)

    def take(self, draft: Undecided, place: int) -> Undecided:
        return draft.with_rounds(self.ways[place])


Decision = LeverDecision | RoundsDecision


def decisions_of(plan: SessionPlan, levers: Sequence[Lever], work: Ranges) -> tuple[Decision, ...]:
    """The decisions in the plan's order of worth, the work blocks having rounds in these ranges."""
    warm_up = {b.id: (b.rounds.min, b.rounds.max) for b in plan.blocks if isinstance(b, WarmUpBlock)}
    ranges = {GiveUp.extra_rounds: dict(work), GiveUp.extra_warm_up: warm_up}
    named = {a.block for a in allowances_of(plan) if a.give_up in ranges and a.block is not None}
    numbers = {(lever.code, lever.block): number for number, lever in enumerate(levers)}
    allowed: list[Decision] = []
    for allowance in allowances_of(plan):
        if (allowance.give_up, allowance.block) in numbers:
            number = numbers[allowance.give_up, allowance.block]
            lever = levers[number]
            allowed.append(LeverDecision(number, len(lever.steps), lever.shortens))
        elif (of := ranges.get(allowance.give_up)) is not None:
            meant = [b for b in of if (b not in named if allowance.block is None else b == allowance.block)]
            allowed += bought({block: of.pop(block) for block in meant})
    by_kind = {
        Buys.allowances: allowed[::-1],
        Buys.rounds: bought(ranges[GiveUp.extra_rounds]),
        Buys.warm_up: bought(ranges[GiveUp.extra_warm_up]),
    }
    order = [*plan.buys, *(kind for kind in Buys if kind not in plan.buys)]
    return tuple(decision for kind in order for decision in by_kind[kind])


def bought(ranges: Ranges) -> list[Decision]:
    """The decision about these rounds, where there are any to decide."""
    return [RoundsDecision(round_vectors(ranges))] if ranges else []


def round_vectors(ranges: Ranges) -> tuple[Rounds, ...]:
    """The ways to set the rounds, most first.

    Blocks get their rounds in turns, the earlier first: none runs ahead of another, and more minutes never
    take a round from a block to give it to another.
    """
    ways = [{block: low for block, (low, _) in ranges.items()}]
    while growing := [block for block, (_, high) in ranges.items() if ways[-1][block] < high]:
        now = ways[-1]
        behind = min(growing, key=lambda block: now[block] - ranges[block][0])
        ways.append({**now, behind: now[behind] + 1})
    return tuple(reversed(ways))
