"""The fit as a problem with one best solution: which session uses the minutes best.

The plan's allowances and its ``buys`` are an order of worth. The fit is the lexicographic optimum of that
order: each decision, the most worthy first, takes its best value for which the rest can still be made to fit
the minutes. ``Lengths`` answers that question exactly, so no decision is ever taken back.

Under the default order the most precious allowance is given up last and least, the minutes left then buy
whole rounds, and those left after that extra rounds of the warm-up. Nothing is given up to buy rounds beyond
the minimum. A session below the minimum is made only where the plan permits it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from engine.base.model import revision_of
from engine.fit.asked import Asked, plan_as_asked
from engine.fit.choose import Choice, choose
from engine.fit.decisions import (
    Decision,
    LeverDecision,
    Limit,
    RoundsDecision,
    bought,
    decisions_of,
    limit_of,
    within,
)
from engine.fit.lengths import Lengths, Steps, Undecided
from engine.fit.levers import Lever, levers_of
from engine.movements.movement import Movement
from engine.plan.plan import (
    PracticeBlock,
    PracticeKind,
    SessionPlan,
    WarmUpBlock,
    WorkBlock,
)
from engine.session.block_parts import optional_name
from engine.session.choices import TO_THE_FLOOR_S, Choices
from engine.session.fitted import FittedBlock
from engine.session.segment import Segment

CAREFUL_TO_THE_FLOOR_S = 20
"""From standing to the floor or back, older or pregnant. † Our judgement, no source."""


@dataclass(frozen=True)
class Solution:
    """A session with everything decided.

    ``ranks`` says which value each decision took, 0 for the best. Of two solutions with the same decisions
    the one with the smaller ``ranks`` is better.
    """

    draft: Undecided
    decisions: tuple[Decision, ...]
    ranks: tuple[int, ...]


MadeBlock = tuple[FittedBlock, tuple[Segment, ...]]
"""A block and its segments, without the way into it."""


@dataclass(frozen=True)
class Problem:
    """A plan for one person and one question: what there is to decide, and how long each way lasts.

    ``plan`` is the ``written`` one with what was asked for instead. ``milder`` are the same question with
    less pain, empty where nothing hurts: see ``engine.fit.decisions``.
    """

    written: SessionPlan
    plan: SessionPlan
    asked: Asked
    choice: Choice
    start: Choices
    levers: tuple[Lever, ...]
    milder: tuple[Problem, ...] = ()

    @cached_property
    def lengths(self) -> Lengths:
        """How long any draft lasts."""
        return Lengths(self.plan, self.choice.by_block, self.start, self.levers)

    @cached_property
    def made(self) -> dict[tuple[int, Steps, int], MadeBlock]:
        """The blocks made so far, since alternatives share most of theirs with the best fit."""
        return {}

    @cached_property
    def known(self) -> dict[str, Movement]:
        """The movements of the library and the plan by slug."""
        return self.plan.known_movements()

    @cached_property
    def revision(self) -> str:
        """The revision of the coach's plan."""
        return revision_of(self.written)

    @cached_property
    def decisions(self) -> tuple[Decision, ...]:
        """What there is to decide, in the plan's order of worth."""
        return decisions_of(
            self.plan, self.levers, {b.id: self.asked.rounds_range(b) for b in self.plan.work_blocks()}
        )

    @cached_property
    def below(self) -> tuple[Decision, ...]:
        """What there is to decide below the minimum of rounds; empty where that is not permitted.

        Rounds come first here: a session that is short of rounds gives up whatever it may to be less short.
        """
        blocks, asked = self.plan.work_blocks(), self.asked
        low = {block.id: (asked.permitted_rounds(block), asked.fewest_rounds(block)) for block in blocks}
        if asked.rounds is not None or all(permitted == fewest for permitted, fewest in low.values()):
            return ()
        return (*bought(low), *decisions_of(self.plan, self.levers, {}))

    @cached_property
    def _limits(self) -> dict[int, Limit | None]:
        return {}

    def limit(self, budget_ms: int) -> Limit | None:
        """What less pain gives within a budget, to be exceeded in nothing; None where it gives no session."""
        if budget_ms not in self._limits:
            solved = [(one, solve(one, budget_ms)) for one in self.milder]
            choices = [one.choices(solution.draft) for one, solution in solved if solution is not None]
            self._limits[budget_ms] = limit_of(choices) if len(choices) == len(solved) else None
        return self._limits[budget_ms]

    def within(self, decisions: Sequence[Decision], budget_ms: int) -> tuple[Decision, ...] | None:
        """The decisions within what less pain gives; None where nothing is."""
        limit = self.limit(budget_ms)
        return None if limit is None else within(decisions, limit, self.levers, self.start)

    @cached_property
    def unlimited(self) -> Solution | None:
        """The best solution within the minutes if pain bought volume."""
        return solve(replace(self, milder=()), self.asked.budget_ms)

    @cached_property
    def work_ids(self) -> tuple[str, ...]:
        """The ids of the work blocks."""
        return tuple(block.id for block in self.plan.work_blocks())

    def open(self, decisions: Sequence[Decision]) -> Undecided:
        """The draft in which these decisions are open, with the fewest rounds and other levers as planned."""
        steps: list[int | None] = [0] * len(self.levers)
        rounds = dict(self.start.rounds)
        for decision in decisions:
            if isinstance(decision, LeverDecision):
                steps[decision.lever] = None
            else:
                rounds.update(decision.ways[-1])
        return Undecided(tuple(steps), rounds)

    def best(self, decisions: Sequence[Decision], budget_ms: int) -> Solution | None:
        """The lexicographic optimum within the budget; None where nothing fits."""
        draft, ranks = self.open(decisions), []
        if self.lengths.least_ms(draft) > budget_ms:
            return None
        for decision in decisions:
            rank = self._best_rank(decision, draft, budget_ms)
            draft = decision.take(draft, rank)
            ranks.append(rank)
        return Solution(draft, tuple(decisions), tuple(ranks))

    def _best_rank(self, decision: Decision, draft: Undecided, budget_ms: int) -> int:
        """The best value for which the rest can still be made to fit. There always is one."""

        def fits(rank: int) -> bool:
            return self.lengths.least_ms(decision.take(draft, rank)) <= budget_ms

        ranks, first = range(decision.size), decision.first
        if not decision.sorted:
            return next(filter(fits, ranks[first:]))
        return first if fits(first) else bisect_left(ranks, True, lo=first + 1, key=fits)

    def spent(self, draft: Undecided) -> tuple[int, ...]:
        """The levers that are not as planned, by number, first given up first."""
        return tuple(number for number, step in enumerate(draft.steps) if step)

    def choices(self, draft: Undecided) -> Choices:
        """What a draft with everything decided adds up to."""
        choices = self.start.model_copy(update={"rounds": dict(draft.rounds)})
        for lever, step in zip(self.levers, draft.steps, strict=True):
            choices = lever.steps[step or 0](choices)
        return choices

    def work_rounds(self, draft: Undecided) -> int:
        """The rounds of all work blocks together."""
        return sum(draft.rounds[block] for block in self.work_ids)

    def warm_up_rounds(self, draft: Undecided) -> int:
        """The rounds of all warm-ups together."""
        return sum(rounds for block, rounds in draft.rounds.items() if block not in self.work_ids)


def pose(written: SessionPlan, asked: Asked, choice: Choice | None = None) -> Problem:
    """Sets up the problem. The plan has to be free of faults (see ``engine.plan.check``).

    ``choice`` is ``choose(plan, asked.room)`` where that is known already.
    """
    own = _pose_alone(written, asked, choice)
    milder: list[Problem] = []
    for room in asked.room.milder:
        less = _pose_alone(written, replace(asked, room=room))
        if all(less.choice.by_block != one.choice.by_block for one in (own, *milder)):
            milder.append(less)
    return replace(own, milder=tuple(milder))


def _pose_alone(written: SessionPlan, asked: Asked, choice: Choice | None = None) -> Problem:
    """The problem without what less pain gives."""
    plan = plan_as_asked(written, asked)
    choice = (choice or choose(plan, asked.room)).without(plan, asked.left_out)
    levers = levers_of(
        plan,
        choice.by_block,
        practice_required=asked.practice_required or asked.first_time,
        cool_down_floor_s=asked.cool_down_floor_s,
    )
    return Problem(written, plan, asked, choice, _start(plan, asked, choice), levers)


def _start(plan: SessionPlan, asked: Asked, choice: Choice) -> Choices:
    """The choices before any lever moves: as planned, with the fewest rounds, and as the person asks."""
    chosen = (one.movement for block in choice.by_block.values() for one in block.values())
    return Choices(
        rounds={b.id: b.rounds.min for b in plan.blocks if isinstance(b, WarmUpBlock | WorkBlock)},
        practice={b.id: PracticeKind(b.usual) for b in plan.blocks if isinstance(b, PracticeBlock)},
        first_side=asked.first_side,
        to_floor_s=CAREFUL_TO_THE_FLOOR_S if asked.careful_to_floor else TO_THE_FLOOR_S,
        pace=asked.pace.of_movements(chosen),
        without_optional=tuple(
            optional_name(block, place)
            for block in plan.work_blocks()
            for place, item in enumerate(block.movements, 1)
            if asked.left_out and item.movement not in choice.by_block[block.id]
        ),
    )


def solve(problem: Problem, budget_ms: int) -> Solution | None:
    """The best solution within a budget; None where nothing fits or no work can be done.

    It is below the minimum of rounds only where the plan permits that and nothing else fits.
    """
    if not any(problem.choice.by_block[block] for block in problem.work_ids):
        return None
    for decisions in filter(None, (problem.decisions, problem.below)):
        possible = problem.within(decisions, budget_ms)
        solution = None if possible is None else problem.best(possible, budget_ms)
        if solution is not None:
            return solution
    return None


def shortest_possible_ms(problem: Problem) -> int:
    """The length of the shortest session that the plan permits this person."""
    own_ms = problem.lengths.least_ms(problem.open(problem.below or problem.decisions))
    return max(own_ms, *map(shortest_possible_ms, problem.milder)) if problem.milder else own_ms


def missing_to_minimum_ms(problem: Problem, *, nothing_spent: bool = False) -> int:
    """By how much the budget falls short of the coach's minimum of rounds; 0 where it does not.

    Everything that the plan allows is given up for that or, with ``nothing_spent``, nothing.
    """
    bought = [one for one in problem.decisions if isinstance(one, RoundsDecision)]
    minimum = problem.open(bought if nothing_spent else problem.decisions)
    own_ms = problem.lengths.least_ms(minimum) - problem.asked.budget_ms
    return max(
        0, own_ms, *(missing_to_minimum_ms(one, nothing_spent=nothing_spent) for one in problem.milder)
    )


def is_below_minimum(problem: Problem, draft: Undecided) -> bool:
    """Whether a work block has fewer rounds than the coach's minimum."""
    blocks, fewest_rounds = problem.plan.work_blocks(), problem.asked.fewest_rounds
    return any(draft.rounds[block.id] < fewest_rounds(block) for block in blocks)


def is_held_back(problem: Problem, solution: Solution) -> bool:
    """Whether there would be more rounds if pain bought volume."""
    taken = zip(solution.decisions, solution.ranks, strict=True)
    if not any(isinstance(one, RoundsDecision) and rank == one.first > 0 for one, rank in taken):
        return False
    free, rounds = problem.unlimited, solution.draft.rounds
    return free is not None and any(free.draft.rounds[block] > rounds[block] for block in rounds)
