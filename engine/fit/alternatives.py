"""Other honest ways to spend the minutes: a round more, or fewer rounds with less given up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from engine.base.phrases import number_of
from engine.base.units import format_duration
from engine.fit.assemble import fitted
from engine.fit.decisions import Decision, RoundsDecision, decisions_of
from engine.fit.lengths import Rounds, Undecided
from engine.fit.problem import Problem, Solution, is_below_minimum, missing_to_minimum_ms
from engine.fit.reasons import lost_words
from engine.session.fitted import FittedSession

MOST_ALTERNATIVES = 2
OTHERWISE_SHARED = "rounds shared otherwise"


@dataclass(frozen=True)
class Alternative:
    """Another way to spend the minutes. ``label`` says what it gives and what it costs."""

    label: str
    session: FittedSession


def alternatives(problem: Problem, solution: Solution) -> tuple[Alternative, ...]:
    """The first few alternatives to a solution, each of another kind."""
    return tuple(islice(_alternatives(problem, solution), MOST_ALTERNATIVES))


def _alternatives(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    yield from _a_round_more(problem, solution)
    yield from _a_round_out_of_turn(problem, solution)
    if problem.spent(solution.draft):
        yield from _everything_kept(problem, solution)
    else:
        yield from _a_longer_warm_up(problem, solution)


def _a_round_more(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """The next round for what it costs. Someone new to a movement never pays with levers."""
    more = one_round_more(problem, solution, within_limit=True)
    richer = more and _best_with_rounds(problem, more)
    if not richer:
        return
    further = richer.draft.spent_further_than(solution.draft)
    if further and problem.asked.first_time:
        return
    lost = [lost_words(problem.levers[number]) for number in further]
    lost += fewer_warm_ups(problem, solution.draft, richer.draft)
    yield Alternative(f"One round more, with {_in_sum(lost)}", fitted(problem, richer))


def _a_round_out_of_turn(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """One round more of a block that is not next in turn, where the next one in turn needs more time."""
    rounds, limit = solution.draft.rounds, problem.limit(problem.asked.budget_ms)
    if problem.asked.rounds is not None or limit is None or is_below_minimum(problem, solution.draft):
        return
    most = {b.id: problem.asked.most_rounds(b) for b in problem.plan.work_blocks()}
    most = {block: min(number, limit.rounds.get(block, number)) for block, number in most.items()}
    for block in (block for block in problem.work_ids if rounds[block] < most[block]):
        draft = solution.draft.with_rounds({block: rounds[block] + 1})
        if problem.lengths.least_ms(draft) <= problem.asked.budget_ms:
            uneven = Solution(draft, solution.decisions, solution.ranks)
            yield Alternative(f"One round more of “{block}” alone", fitted(problem, uneven))
            return


def _everything_kept(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """Everything that the coach prescribed in fewer rounds, below the minimum where the plan permits it."""
    for decisions in filter(None, (problem.decisions, problem.below)):
        rounds_alone = [one for one in decisions if isinstance(one, RoundsDecision)]
        kept = _best_within(problem, rounds_alone)
        if kept is not None:
            label = f"Everything kept, {_price(problem, solution.draft, kept.draft)}"
            yield Alternative(label, fitted(problem, kept))
            return


def _price(problem: Problem, best: Undecided, kept: Undecided) -> str:
    """What it costs to keep everything."""
    if is_below_minimum(problem, kept):
        missing_ms = missing_to_minimum_ms(problem, nothing_spent=True)
        return f"below the coach's minimum of rounds, which needs {format_duration(missing_ms)} more"
    less = problem.work_rounds(best) - problem.work_rounds(kept)
    lost = [f"{number_of(less, 'round')} less"] if less > 0 else []
    return _in_sum([*lost, *fewer_warm_ups(problem, best, kept)])


def _a_longer_warm_up(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    less = _one_round_less(problem, solution)
    slower = less and _best_with_rounds(problem, less)
    if slower and fewer_warm_ups(problem, slower.draft, solution.draft):
        yield Alternative("One round less for a longer warm-up", fitted(problem, slower))


def _best_with_rounds(problem: Problem, rounds: Rounds) -> Solution | None:
    """The best solution with the rounds of the work blocks fixed."""
    fixed = {block: (rounds[block], rounds[block]) for block in problem.work_ids}
    return _best_within(problem, decisions_of(problem.plan, problem.levers, fixed))


def _best_within(problem: Problem, decisions: Sequence[Decision]) -> Solution | None:
    """The best solution within the minutes and within what less pain gives."""
    budget_ms = problem.asked.budget_ms
    possible = problem.within(decisions, budget_ms)
    return None if possible is None else problem.best(possible, budget_ms)


def _in_sum(lost: list[str]) -> str:
    """What was lost; where nothing is in sum, blocks of one kind have shared their rounds in another way."""
    return " and ".join(lost) or OTHERWISE_SHARED


def fewer_warm_ups(problem: Problem, before: Undecided, after: Undecided) -> list[str]:
    """By how many rounds the warm-up is shorter, in words; an empty list where it is not."""
    less = problem.warm_up_rounds(before) - problem.warm_up_rounds(after)
    return [f"the warm-up {number_of(less, 'round')} less"] if less > 0 else []


def one_round_more(problem: Problem, solution: Solution, *, within_limit: bool = False) -> Rounds | None:
    """The rounds with the one more that the plan's order would buy next; None where it wants no more.

    ``within_limit`` keeps to what less pain gives in the same minutes.
    """
    for decision, rank in _bought(problem, solution):
        if rank > (decision.first if within_limit else 0):
            return {**solution.draft.rounds, **decision.ways[rank - 1]}
    return None


def _one_round_less(problem: Problem, solution: Solution) -> Rounds | None:
    """The rounds without the one that the plan's order bought last; None at the minimum."""
    for decision, rank in reversed(_bought(problem, solution)):
        if rank + 1 < len(decision.ways):
            return {**solution.draft.rounds, **decision.ways[rank + 1]}
    return None


def _bought(problem: Problem, solution: Solution) -> list[tuple[RoundsDecision, int]]:
    """The decisions on the rounds of work blocks, the most worthy first, each with the rank it took."""
    taken = zip(solution.decisions, solution.ranks, strict=True)
    return [
        (decision, rank)
        for decision, rank in taken
        if isinstance(decision, RoundsDecision) and decision.ways[0].keys() <= set(problem.work_ids)
    ]
