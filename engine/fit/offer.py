"""What a person is shown for their minutes: the best fit, honest alternatives, and what more minutes buy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.base.message import Message, Seconds, message
from engine.base.units import MS_PER_MIN, seconds
from engine.fit.alternatives import (
    Alternative,
    alternatives,
    difference,
    one_round_more,
)
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.choose import Choice
from engine.fit.decisions import RoundsDecision
from engine.fit.lengths import Rounds
from engine.fit.problem import (
    Problem,
    Solution,
    is_below_minimum,
    missing_to_minimum_ms,
    pose,
    shortest_possible_ms,
    solve,
)
from engine.plan.plan import SessionPlan
from engine.session.fitted import FittedSession

MORE_MINUTES = 5
"""How many minutes more are looked at."""


@dataclass(frozen=True)
class MoreMinutes:
    """What ``minutes`` more buy that fewer do not, and then what that costs; None where they buy nothing."""

    minutes: int
    buys: Message | None


@dataclass(frozen=True)
class Offer:
    """The answer to what is asked.

    ``session`` is None where the plan permits nothing in the minutes; ``shortest_ms`` then says how long the
    shortest session is. ``choice`` is what the person does of the plan in this room. ``missing_ms`` is the
    least time with which the best fit has a round more, None where no more rounds are wanted;
    ``a_round_more`` says so.
    ``missing_to_minimum_ms`` is what a session below the coach's minimum of rounds lacks, 0 for any other.
    """

    session: FittedSession | None
    shortest_ms: int
    choice: Choice
    missing_ms: int | None = None
    a_round_more: Message | None = None
    missing_to_minimum_ms: int = 0
    alternatives: tuple[Alternative, ...] = ()
    more_minutes: tuple[MoreMinutes, ...] = ()


def offer(plan: SessionPlan, asked: Asked, choice: Choice | None = None) -> Offer:
    """Fits a plan to what is asked. ``plan`` has to be free of faults.

    ``choice`` is ``choose(plan, asked.room)`` where that is known already.
    """
    problem = pose(plan, asked, choice)
    shortest_ms = shortest_possible_ms(problem)
    solution = solve(problem, asked.budget_ms)
    if solution is None:
        return Offer(None, shortest_ms, problem.choice)
    below = is_below_minimum(problem, solution.draft)
    missing_ms = _missing_to_a_round_ms(problem, solution)
    return Offer(
        session=fitted(problem, solution),
        shortest_ms=shortest_ms,
        choice=problem.choice,
        missing_ms=missing_ms,
        a_round_more=None if missing_ms is None else _a_round_more(problem, missing_ms),
        missing_to_minimum_ms=missing_to_minimum_ms(problem) if below else 0,
        alternatives=alternatives(problem, solution),
        more_minutes=tuple(_more_minutes(problem, solution)),
    )


def _missing_to_a_round_ms(problem: Problem, solution: Solution) -> int | None:
    """Searches between a time that is not enough and one that is, until they are a millisecond apart."""
    more = one_round_more(problem, solution)
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


def _a_round_more(problem: Problem, missing_ms: int) -> Message:
    """What a round more needs, and whether nothing is cut then."""
    needs = Seconds(seconds=seconds(missing_ms))
    richer = solve(problem, problem.asked.budget_ms + missing_ms)
    if richer is None or problem.spent(richer.draft):
        return message("a_round_more", needs=needs)
    return message("a_round_more_uncut", needs=needs)


def _guess_ms(problem: Problem, solution: Solution, more: Rounds) -> int:
    """The shortest session with those rounds in which nothing is given up that is worth more than a round."""
    draft = problem.open(solution.decisions)
    for decision in solution.decisions:
        if isinstance(decision, RoundsDecision):
            break
        draft = decision.take(draft, 0)
    return max(problem.lengths.least_ms(draft.with_rounds(more)), problem.asked.budget_ms + 1)


def _more_minutes(problem: Problem, solution: Solution) -> Iterator[MoreMinutes]:
    """What each of the next minutes buys over the last minute that bought something.

    A minute that would only lose something, as pain may make it, buys nothing and is never compared with.
    """
    before = solution.draft
    for minutes in range(1, MORE_MINUTES + 1):
        after = solve(problem, problem.asked.budget_ms + minutes * MS_PER_MIN)
        assert after is not None  # more minutes never make a session impossible
        buys = difference(problem, before, after.draft).message
        yield MoreMinutes(minutes, buys)
        before = after.draft if buys else before


def shortest_message(shortest_ms: int) -> Message:
    """That the plan permits no session shorter than this."""
    return message("shortest_session", shortest=Seconds(seconds=seconds(shortest_ms)))
