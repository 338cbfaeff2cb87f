"""What a person is shown for their minutes: the best fit, honest alternatives, and what more minutes buy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from engine.base.phrases import number_of
from engine.base.units import MS_PER_MIN, format_duration
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.choose import Choice
from engine.fit.decisions import Decision, RoundsDecision, decisions_of
from engine.fit.lengths import Rounds, Undecided
from engine.fit.problem import (
    Problem,
    Solution,
    is_below_minimum,
    missing_to_minimum_ms,
    pose,
    shortest_possible_ms,
    solve,
)
from engine.fit.reasons import gained_words, lost_words
from engine.plan.plan import SessionPlan
from engine.session.fitted import FittedSession

MORE_MINUTES = 5
MOST_ALTERNATIVES = 2
OTHERWISE_SHARED = "rounds shared otherwise"


@dataclass(frozen=True)
class Alternative:
    """Another honest way to spend the minutes, and what it costs, in one label."""

    label: str
    session: FittedSession


@dataclass(frozen=True)
class MoreMinutes:
    """What so many minutes more would buy over the minute before; ``buys`` is None where they buy nothing
    whole."""

    minutes: int
    buys: str | None


@dataclass(frozen=True)
class Offer:
    """``session`` is None where the plan permits nothing in the minutes; then ``shortest_ms`` tells what
    would do.

    ``missing_ms`` is the least time more with which the best fit has a round more, None where the plan or
    the question wants no more rounds. ``missing_to_minimum_ms`` is what a session below the coach's minimum
    of rounds lacks, 0 for any other. ``choice`` is what the person does of the plan in this room.
    """

    session: FittedSession | None
    shortest_ms: int
    choice: Choice
    missing_ms: int | None = None
    missing_to_minimum_ms: int = 0
    alternatives: tuple[Alternative, ...] = ()
    more_minutes: tuple[MoreMinutes, ...] = ()


def offer(plan: SessionPlan, asked: Asked, choice: Choice | None = None) -> Offer:
    """Fits a plan (free of faults) to what is asked. Pure: the same question has the same answer.

    ``choice`` is ``choose(plan, asked.room)`` where that is known already.
    """
    problem = pose(plan, asked, choice)
    shortest_ms = shortest_possible_ms(problem)
    solution = solve(problem, asked.budget_ms)
    if solution is None:
        return Offer(None, shortest_ms, problem.choice)
    best = solution.draft
    return Offer(
        session=fitted(problem, solution),
        shortest_ms=shortest_ms,
        choice=problem.choice,
        missing_ms=_missing_ms(problem, solution),
        missing_to_minimum_ms=missing_to_minimum_ms(problem) if is_below_minimum(problem, best) else 0,
        alternatives=tuple(islice(_alternatives(problem, solution), MOST_ALTERNATIVES)),
        more_minutes=tuple(_more_minutes(problem, solution)),
    )


def _bought(problem: Problem, solution: Solution) -> list[tuple[RoundsDecision, int]]:
    """The decisions about the rounds of work blocks, the most worthy first, and the place each took."""
    taken = zip(solution.decisions, solution.places, strict=True)
    return [
        (decision, place)
        for decision, place in taken
        if isinstance(decision, RoundsDecision) and decision.ways[0].keys() <= set(problem.work_ids)
    ]


def _one_more(problem: Problem, solution: Solution) -> Rounds | None:
    """The rounds with one more, as the plan's order would buy it; None at the most that is wanted."""
    for decision, place in _bought(problem, solution):
        if place:
            return {**solution.draft.rounds, **decision.ways[place - 1]}
    return None


def _one_less(problem: Problem, solution: Solution) -> Rounds | None:
    for decision, place in reversed(_bought(problem, solution)):
        if place + 1 < len(decision.ways):
            return {**solution.draft.rounds, **decision.ways[place + 1]}
    return None


def _missing_ms(problem: Problem, solution: Solution) -> int | None:
    """Found between a time that is not enough and one that is, until they lie a millisecond apart."""
    more = _one_more(problem, solution)
    if more is None:
        return None
    now = problem.work_rounds(solution.draft)

    def enough(time_ms: int) -> bool:
        richer = solve(problem, time_ms)
        return richer is not None and problem.work_rounds(richer.draft) > now

    short_ms, long_ms = problem.asked.budget_ms, _guess_ms(problem, solution, more)
    while not enough(long_ms):
        short_ms, long_ms = long_ms, long_ms + MS_PER_MIN
    if not enough(long_ms - 1):
        short_ms = long_ms - 1
    while long_ms - short_ms > 1:
        middle_ms = (short_ms + long_ms) // 2
        short_ms, long_ms = (short_ms, middle_ms) if enough(middle_ms) else (middle_ms, long_ms)
    return long_ms - problem.asked.budget_ms


def _guess_ms(problem: Problem, solution: Solution, more: Rounds) -> int:
    """The shortest session with those rounds that has nothing given up which is worth more than a round."""
    draft = problem.open(solution.decisions)
    for decision in solution.decisions:
        if isinstance(decision, RoundsDecision):
            break
        draft = decision.take(draft, 0)
    return max(problem.lengths.least_ms(draft.with_rounds(more)), problem.asked.budget_ms + 1)


def _alternatives(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """Each of another kind: a round more for what it costs, and fewer rounds for what was given up."""
    yield from _a_round_more(problem, solution)
    yield from _a_round_out_of_turn(problem, solution)
    if problem.spent(solution.draft):
        yield from _everything_kept(problem, solution)
    else:
        yield from _a_longer_warm_up(problem, solution)


def _with_rounds(problem: Problem, rounds: Rounds) -> tuple[Decision, ...]:
    fixed = {block: (rounds[block], rounds[block]) for block in problem.work_ids}
    return decisions_of(problem.plan, problem.levers, fixed)


def _a_round_more(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """The next round for what it costs; never levers from someone new to a movement."""
    more = _one_more(problem, solution)
    richer = more and problem.best(_with_rounds(problem, more), problem.asked.budget_ms)
    if not richer:
        return
    further = _moved_on(solution.draft, richer.draft)
    if further and problem.asked.first_time:
        return
    lost = [lost_words(problem.levers[number]) for number in further]
    lost += _fewer_warm_ups(problem, solution.draft, richer.draft)
    yield Alternative(f"One round more, with {_and_so(lost)}", fitted(problem, richer))


def _a_round_out_of_turn(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """Where the block whose turn it is has no room for a round and another has."""
    most = {b.id: problem.asked.most_rounds(b) for b in problem.plan.work_blocks()}
    rounds = solution.draft.rounds
    if problem.asked.rounds is not None or is_below_minimum(problem, solution.draft):
        return
    for block in (block for block in problem.work_ids if rounds[block] < most[block]):
        draft = solution.draft.with_rounds({block: rounds[block] + 1})
        if problem.lengths.least_ms(draft) <= problem.asked.budget_ms:
            uneven = Solution(draft, solution.decisions, solution.places)
            yield Alternative(f"One round more of “{block}” alone", fitted(problem, uneven))
            return


def _everything_kept(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """All that the coach prescribed, in fewer rounds; below the minimum only where the plan permits it."""
    for decisions in filter(None, (problem.decisions, problem.below)):
        rounds_alone = [one for one in decisions if isinstance(one, RoundsDecision)]
        kept = problem.best(rounds_alone, problem.asked.budget_ms)
        if kept is not None:
            label = f"Everything kept, {_price(problem, solution.draft, kept.draft)}"
            yield Alternative(label, fitted(problem, kept))
            return


def _price(problem: Problem, best: Undecided, kept: Undecided) -> str:
    if is_below_minimum(problem, kept):
        missing_ms = missing_to_minimum_ms(problem, nothing_spent=True)
        return f"below the coach's minimum of rounds, which needs {format_duration(missing_ms)} more"
    less = problem.work_rounds(best) - problem.work_rounds(kept)
    lost = [f"{number_of(less, 'round')} less"] if less > 0 else []
    return _and_so([*lost, *_fewer_warm_ups(problem, best, kept)])


def _and_so(lost: list[str]) -> str:
    """Where nothing is lost in sum, blocks of one kind have their rounds otherwise."""
    return " and ".join(lost) or OTHERWISE_SHARED


def _a_longer_warm_up(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    less = _one_less(problem, solution)
    slower = less and problem.best(_with_rounds(problem, less), problem.asked.budget_ms)
    if slower and _fewer_warm_ups(problem, slower.draft, solution.draft):
        yield Alternative("One round less for a longer warm-up", fitted(problem, slower))


def _moved_on(before: Undecided, after: Undecided) -> list[int]:
    """The levers that are spent further, first-given-up first."""
    pairs = zip(before.places, after.places, strict=True)
    return [number for number, (was, now) in enumerate(pairs) if (now or 0) > (was or 0)]


def _warm_ups(problem: Problem, draft: Undecided) -> int:
    return sum(rounds for block, rounds in draft.rounds.items() if block not in problem.work_ids)


def _fewer_warm_ups(problem: Problem, before: Undecided, after: Undecided) -> list[str]:
    less = _warm_ups(problem, before) - _warm_ups(problem, after)
    return [f"the warm-up {number_of(less, 'round')} less"] if less > 0 else []


def _more_minutes(problem: Problem, solution: Solution) -> Iterator[MoreMinutes]:
    """What each of the next minutes buys, compared with the minute before."""
    before = solution.draft
    for minutes in range(1, MORE_MINUTES + 1):
        after = solve(problem, problem.asked.budget_ms + minutes * MS_PER_MIN)
        assert after is not None  # more minutes never make a session impossible
        yield MoreMinutes(minutes, _difference(problem, before, after.draft))
        before = after.draft


def _difference(problem: Problem, before: Undecided, after: Undecided) -> str | None:
    """What the richer session has, in words, and what it lost for it; None where it is the same session."""
    work = problem.work_rounds(after) - problem.work_rounds(before)
    warm_up = _warm_ups(problem, after) - _warm_ups(problem, before)
    said = [f"{number_of(work, 'round')} more"] if work > 0 else []
    said += [gained_words(problem.levers[number]) for number in _moved_on(after, before)]
    said += [f"the warm-up {number_of(warm_up, 'round')} more"] if warm_up > 0 else []
    said += [f"{number_of(-work, 'round')} less"] if work < 0 else []
    said += [lost_words(problem.levers[number]) for number in _moved_on(before, after)]
    said += _fewer_warm_ups(problem, before, after)
    return ", ".join(said) or (OTHERWISE_SHARED if after != before else None)


def shortest_sentence(shortest_ms: int) -> str:
    return f"The shortest session this plan permits takes {format_duration(shortest_ms)}."
