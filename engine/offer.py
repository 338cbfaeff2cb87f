"""What a person is shown for their minutes: the best fit, honest alternatives, and what more minutes buy."""

from __future__ import annotations

from dataclasses import dataclass, replace

from engine.fit import (
    Asked,
    Problem,
    Solution,
    decisions_of,
    fitted,
    pose,
    round_vectors,
    shortest_possible_ms,
    solve,
    work_vectors,
)
from engine.fitted import FittedSession
from engine.plan import SessionPlan
from engine.units import MS_PER_MIN, format_duration
from engine.wording import rounds_words

MORE_MINUTES = 5


@dataclass(frozen=True)
class Alternative:
    """Another honest way to spend the minutes, and what it costs, in one label."""

    label: str
    session: FittedSession


@dataclass(frozen=True)
class MoreMinutes:
    """What so many minutes more would buy; ``buys`` is None where they buy nothing whole."""

    minutes: int
    buys: str | None


@dataclass(frozen=True)
class Offer:
    """``session`` is None where the plan permits nothing in the minutes; then ``shortest_ms`` tells what
    would do.

    ``missing_ms`` is what one round more would need, None at the most rounds the plan wants.
    """

    session: FittedSession | None
    shortest_ms: int
    missing_ms: int | None = None
    alternatives: tuple[Alternative, ...] = ()
    more_minutes: tuple[MoreMinutes, ...] = ()


def offer(plan: SessionPlan, asked: Asked) -> Offer:
    """Fits a plan (free of faults) to what is asked. Pure: the same question has the same answer."""
    problem = pose(plan, asked)
    shortest_ms = shortest_possible_ms(problem)
    solution = solve(problem, asked.budget_ms)
    if solution is None:
        return Offer(None, shortest_ms)
    return Offer(
        session=fitted(problem, solution),
        shortest_ms=shortest_ms,
        missing_ms=_missing_ms(problem, solution),
        alternatives=tuple(_alternatives(problem, solution)),
        more_minutes=tuple(_more_minutes(problem, solution)),
    )


def _one_more(problem: Problem, solution: Solution) -> dict[str, int] | None:
    """The rounds of the work blocks with one more, in the block the order would give it to."""
    blocks = problem.plan.work_blocks()
    now = {block.id: solution.choices.rounds[block.id] for block in blocks}
    if problem.asked.rounds is not None:
        return None
    most = {b.id: max(problem.asked.most_rounds(b), now[b.id]) for b in blocks}
    ranges = {b.id: (now[b.id], min(now[b.id] + 1, most[b.id])) for b in blocks}
    total = sum(now.values()) + 1
    return next((way for way in round_vectors(ranges) if sum(way.values()) == total), None)


def _missing_ms(problem: Problem, solution: Solution) -> int | None:
    """The time that one round more needs beyond the budget, everything else as it is."""
    more = _one_more(problem, solution)
    if more is None:
        return None
    choices = solution.choices.model_copy(update={"rounds": solution.choices.rounds | more})
    return max(0, problem.measure.total_ms(choices) - problem.asked.budget_ms)


def _alternatives(problem: Problem, solution: Solution) -> list[Alternative]:
    """At most two, each of another kind; none that spends levers for someone new to a movement."""
    found = []
    more = _one_more(problem, solution)
    if more is not None and not problem.asked.first_time:
        richer = problem.best(decisions_of(problem, [more]), problem.asked.budget_ms)
        if richer is not None:
            session = fitted(problem, richer)
            given = ", ".join(
                reason.text[:1].lower() + reason.text[1:-1] for reason in session.reasons if reason.seconds
            )
            found.append(Alternative(f"One round more: {given}", session))
    fuller = _fuller(problem, solution)
    if fuller is not None:
        found.append(fuller)
    return found


def _fuller(problem: Problem, solution: Solution) -> Alternative | None:
    """Fewer rounds for what the best fit had to leave out: the allowances, or a longer warm-up."""
    budget_ms = problem.asked.budget_ms
    if problem.asked.rounds is not None:
        return None
    if solution.spent():
        return _nothing_given_up(problem, budget_ms) if problem.plan.below_minimum else None
    fewer = [v for v in work_vectors(problem) if sum(v.values()) == _work_rounds(problem, solution) - 1]
    if not fewer:
        return None
    slower = problem.best(decisions_of(problem, fewer[:1]), budget_ms)
    if slower is None or slower.spent():
        return None
    session = fitted(problem, slower)
    best_warm_up = fitted(problem, solution).warm_up_rounds()
    if session.warm_up_rounds() <= best_warm_up:
        return None
    label = f"One round less, the warm-up {rounds_words(session.warm_up_rounds())}"
    return Alternative(label, session)


def _work_rounds(problem: Problem, solution: Solution) -> int:
    return sum(solution.choices.rounds[block.id] for block in problem.plan.work_blocks())


def _nothing_given_up(problem: Problem, budget_ms: int) -> Alternative | None:
    """A session below the minimum that keeps everything the coach prescribed but the rounds."""
    keeping = replace(problem, levers=())
    vectors = work_vectors(problem, below_minimum=True)
    kept = keeping.best(decisions_of(keeping, vectors), budget_ms)
    if kept is None:
        return None
    session = fitted(keeping, kept)
    if not session.below_minimum:
        return None
    return Alternative(
        f"Everything kept, {rounds_words(session.rounds())}: below the coach's minimum", session
    )


def _more_minutes(problem: Problem, solution: Solution) -> list[MoreMinutes]:
    """What each of the next minutes buys, compared with the minute before."""
    before, found = solution, []
    for minutes in range(1, MORE_MINUTES + 1):
        after = solve(problem, problem.asked.budget_ms + minutes * MS_PER_MIN)
        assert after is not None  # more minutes never make a session impossible
        found.append(MoreMinutes(minutes, _difference(problem, before, after)))
        before = after
    return found


def _difference(problem: Problem, before: Solution, after: Solution) -> str | None:
    """What the richer solution has, in words; None where it is the same session."""
    gained = []
    if after.choices.rounds != before.choices.rounds:
        gained += _more_rounds(problem, before, after)
    kept = {(lever.code, lever.block): step for lever, step in after.spent()}
    was = {(lever.code, lever.block): step for lever, step in before.spent()}
    for (code, block), step in was.items():
        if kept.get((code, block)) is not step:
            gained.append(f"{_lever_words(code, block)} {'longer' if (code, block) in kept else 'back'}")
    lost = [_lever_words(*key) for key, step in kept.items() if was.get(key) is not step and key not in was]
    return ", ".join([*gained, *(f"{words} given up" for words in lost)]) or None


def _lever_words(code: str, block: str | None) -> str:
    return code.replace("_", " ") + (f" of “{block}”" if block else "")


def _more_rounds(problem: Problem, before: Solution, after: Solution) -> list[str]:
    work = _work_rounds(problem, after) - _work_rounds(problem, before)
    named = {block.id for block in problem.plan.work_blocks()}
    warm_up = sum(
        after.choices.rounds[b] - before.choices.rounds[b] for b in after.choices.rounds if b not in named
    )
    said = [f"{rounds_words(work)} more"] if work else []
    if warm_up > 0:
        said.append(f"the warm-up {rounds_words(warm_up)} more")
    elif warm_up < 0:
        said.append(f"the warm-up {rounds_words(-warm_up)} less")
    return said or ["the same rounds, more evenly shared"]


def shortest_sentence(shortest_ms: int) -> str:
    return f"The shortest session this plan permits takes {format_duration(shortest_ms)}."
