"""The fit: minutes, kit and sore joints to the best session the plan allows, with the reason for every cut.

The plan's allowances and its ``buys`` are an order of worth. The fit is the lexicographic optimum of that
order: each decision, the most worthy first, takes its best value for which the rest can still be made to fit
the minutes. That question is answered exactly (see ``Lengths``), so no decision is ever taken back.

Under the default order the dearest allowance is spent last and least, whole rounds are bought from what is
then spare, and extra rounds of the warm-up from what is left after that. Nothing is spent to buy rounds
beyond the minimum; a session below the minimum is made only where the plan permits it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from engine.base.model import revision_of
from engine.fit.asked import Asked
from engine.fit.choose import Choice, choose
from engine.fit.decisions import Decision, LeverDecision, RoundsDecision, bought, decisions_of
from engine.fit.lengths import Lengths, Places, Undecided
from engine.fit.levers import Lever, levers_of
from engine.plan.plan import (
    GiveUp,
    PracticeBlock,
    PracticeForm,
    SessionPlan,
    WarmUpBlock,
    WorkBlock,
)
from engine.session.block_parts import optional_name
from engine.session.choices import TO_THE_FLOOR_S, Choices
from engine.session.fitted import FittedBlock
from engine.session.segment import Segment

CAREFUL_TO_THE_FLOOR_S = 20
"""Older or pregnant trainees. † Our judgement, no source."""


@dataclass(frozen=True)
class Solution:
    """A session wholly decided. ``places`` says which value each decision took, 0 the best; of two solutions
    of the same decisions the lesser ``places`` is the better."""

    draft: Undecided
    decisions: tuple[Decision, ...]
    places: tuple[int, ...]


MadeBlock = tuple[FittedBlock, tuple[Segment, ...]]


@dataclass(frozen=True)
class Problem:
    """A plan for one person: what can be decided, and how long any choice lasts."""

    plan: SessionPlan
    asked: Asked
    choice: Choice
    start: Choices
    levers: tuple[Lever, ...]

    @cached_property
    def lengths(self) -> Lengths:
        return Lengths(self.plan, self.choice.by_block, self.start, self.levers)

    @cached_property
    def made(self) -> dict[tuple[int, Places, int], MadeBlock]:
        """The blocks made so far: alternatives share most of theirs with the best fit."""
        return {}

    @cached_property
    def revision(self) -> str:
        return revision_of(self.plan)

    @cached_property
    def decisions(self) -> tuple[Decision, ...]:
        """In the plan's order of worth, with the rounds that were asked for, else the coach's range."""
        return decisions_of(
            self.plan, self.levers, {b.id: self.asked.rounds_range(b) for b in self.plan.work_blocks()}
        )

    @cached_property
    def below(self) -> tuple[Decision, ...]:
        """The same below the minimum of rounds; empty where that is not permitted.

        Rounds come first there: a session short of rounds spends its levers to be less short.
        """
        if not self.plan.below_minimum or self.asked.rounds is not None:
            return ()
        low = {block.id: (1, self.asked.fewest_rounds(block)) for block in self.plan.work_blocks()}
        return (*bought(low), *decisions_of(self.plan, self.levers, {}))

    @cached_property
    def work_ids(self) -> tuple[str, ...]:
        return tuple(block.id for block in self.plan.work_blocks())

    def open(self, decisions: Sequence[Decision]) -> Undecided:
        """The draft in which these decisions are open: the fewest rounds, and other levers as planned."""
        places: list[int | None] = [0] * len(self.levers)
        rounds = dict(self.start.rounds)
        for decision in decisions:
            if isinstance(decision, LeverDecision):
                places[decision.lever] = None
            else:
                rounds.update(decision.ways[-1])
        return Undecided(tuple(places), rounds)

    def best(self, decisions: Sequence[Decision], budget_ms: int) -> Solution | None:
        """The lexicographic optimum within the budget, or None where nothing fits."""
        draft, places = self.open(decisions), []
        if self.lengths.least_ms(draft) > budget_ms:
            return None
        for decision in decisions:
            place = self._best_place(decision, draft, budget_ms)
            draft = decision.take(draft, place)
            places.append(place)
        return Solution(draft, tuple(decisions), tuple(places))

    def _best_place(self, decision: Decision, draft: Undecided, budget_ms: int) -> int:
        """The first value for which the rest can still be made to fit; there is one."""

        def fits(place: int) -> bool:
            return self.lengths.least_ms(decision.take(draft, place)) <= budget_ms

        places = range(decision.steps)
        if not decision.sorted:
            return next(filter(fits, places))
        return 0 if fits(0) else bisect_left(places, True, lo=1, key=fits)

    def spent(self, draft: Undecided) -> tuple[int, ...]:
        """The levers that moved, first-given-up first."""
        return tuple(lever for lever, place in enumerate(draft.places) if place)

    def choices(self, draft: Undecided) -> Choices:
        """What a wholly decided draft adds up to."""
        choices = self.start.model_copy(update={"rounds": dict(draft.rounds)})
        for lever, place in zip(self.levers, draft.places, strict=True):
            choices = lever.steps[place or 0](choices)
        return choices

    def work_rounds(self, draft: Undecided) -> int:
        """Rounds of all work blocks."""
        return sum(draft.rounds[block] for block in self.work_ids)


def pose(plan: SessionPlan, asked: Asked, choice: Choice | None = None) -> Problem:
    """Sets the problem up. ``plan`` has to be free of faults (see ``check``).

    ``choice`` is ``choose(plan, asked.room)`` where that is known already.
    """
    choice = (choice or choose(plan, asked.room)).without(plan, asked.left_out)
    chosen = (one.movement for block in choice.by_block.values() for one in block.values())
    start = Choices(
        rounds={b.id: b.rounds.min for b in plan.blocks if isinstance(b, WarmUpBlock | WorkBlock)},
        practice={b.id: PracticeForm(b.usual) for b in plan.blocks if isinstance(b, PracticeBlock)},
        first_side=asked.first_side,
        to_floor_s=CAREFUL_TO_THE_FLOOR_S if asked.careful_to_floor else TO_THE_FLOOR_S,
        pace=asked.pace.of_movements(chosen),
        without_optional=tuple(
            optional_name(block, item)
            for block in plan.work_blocks()
            for item in block.movements
            if asked.left_out and item.movement not in choice.by_block[block.id]
        ),
    )
    levers = levers_of(
        plan,
        choice.by_block,
        practice_required=asked.practice_required or asked.first_time,
        cool_down_floor_s=asked.cool_down_floor_s,
    )
    if not asked.side_change:
        work = tuple(block.id for block in plan.work_blocks())
        start = start.model_copy(update={"hand_inside": work, "leg_inside": work})
        levers = tuple(one for one in levers if one.code not in (GiveUp.hand_change, GiveUp.leg_change))
    return Problem(plan, asked, choice, start, levers)


def rounds_fault(plan: SessionPlan, rounds: int) -> str | None:
    """Why the work blocks cannot have so many rounds, in one sentence; None where they can."""
    for block in plan.work_blocks():
        low = 1 if plan.below_minimum else block.rounds.min
        if not low <= rounds <= block.rounds.max:
            return f"The block “{block.id}” has {low} to {block.rounds.max} rounds, not {rounds}."
    return None


def solve(problem: Problem, budget_ms: int) -> Solution | None:
    """The best solution within the minutes; below the minimum of rounds only where the plan permits it."""
    if not any(problem.choice.by_block[block] for block in problem.work_ids):
        return None
    solution = problem.best(problem.decisions, budget_ms)
    if solution is None and problem.below:
        return problem.best(problem.below, budget_ms)
    return solution


def shortest_possible_ms(problem: Problem) -> int:
    """The length of the shortest session the plan permits this person."""
    return problem.lengths.least_ms(problem.open(problem.below or problem.decisions))


def missing_to_minimum_ms(problem: Problem, *, nothing_spent: bool = False) -> int:
    """The time by which the budget falls short of the coach's minimum of rounds, with all that the plan
    allows spent or nothing; 0 where it does not."""
    bought = [one for one in problem.decisions if isinstance(one, RoundsDecision)]
    minimum = problem.open(bought if nothing_spent else problem.decisions)
    return max(0, problem.lengths.least_ms(minimum) - problem.asked.budget_ms)


def is_below_minimum(problem: Problem, draft: Undecided) -> bool:
    blocks, fewest_rounds = problem.plan.work_blocks(), problem.asked.fewest_rounds
    return any(draft.rounds[block.id] < fewest_rounds(block) for block in blocks)
