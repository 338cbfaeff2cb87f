"""Other honest ways to spend the minutes: a round more, or fewer rounds with less given up.

Each says first what it gives and then what it costs; what only costs is never offered.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from engine.base.phrases import listed, number_of
from engine.base.units import format_duration
from engine.fit.assemble import fitted
from engine.fit.decisions import Decision, RoundsDecision, decisions_of
from engine.fit.lengths import Rounds, Undecided
from engine.fit.levers import Lever
from engine.fit.problem import Problem, Solution, is_below_minimum, missing_to_minimum_ms
from engine.fit.reasons import gained_words, lost_words
from engine.plan.plan import GiveUp
from engine.session.fitted import FittedSession

MOST_ALTERNATIVES = 2


@dataclass(frozen=True)
class Alternative:
    """Another way to spend the minutes. ``label`` says what it gives and what it costs."""

    label: str
    session: FittedSession


@dataclass(frozen=True)
class Difference:
    """What one session has that another has not, and what it lacks for that, each in a few words.

    ``fewer_rounds`` are those of the work, ``other_costs`` the rest.
    """

    gains: tuple[str, ...]
    fewer_rounds: tuple[str, ...]
    other_costs: tuple[str, ...]

    @property
    def but(self) -> str:
        """The costs as the end of a sentence; empty where there are none."""
        return _but(*self.fewer_rounds, *self.other_costs)

    @property
    def sentence(self) -> str | None:
        """“practice and more rest, but 1 round less”; None where nothing is gained."""
        return f"{listed(self.gains)}{self.but}" if self.gains else None


def _but(*costs: str) -> str:
    return f", but {listed(costs)}" if costs else ""


def difference(problem: Problem, before: Undecided, after: Undecided) -> Difference:
    """What ``after`` gives over ``before``, and what it costs."""
    blocks = dict.fromkeys((*problem.work_ids, *before.rounds))
    deltas = {block: after.rounds[block] - before.rounds[block] for block in blocks}
    work = {block: deltas.pop(block) for block in problem.work_ids}
    more, less = _rounds_words(work, "round")
    warmer, colder = _rounds_words(deltas, "warm-up round")
    gained, lost = _levers_less(problem, before, after), _levers_less(problem, after, before)
    return Difference(
        gains=(*more, *map(gained_words, gained), *warmer),
        fewer_rounds=tuple(less),
        other_costs=(*map(lost_words, lost), *colder),
    )


def _rounds_words(deltas: Rounds, one: str) -> tuple[list[str], list[str]]:
    """The rounds more and the rounds less; each block by its name where some have more and others less."""
    up = {block: number for block, number in deltas.items() if number > 0}
    down = {block: -number for block, number in deltas.items() if number < 0}
    said = []
    for changed, how in ((up, "more"), (down, "less")):
        total = [f"{number_of(sum(changed.values()), one)} {how}"] if changed else []
        by_block = [f"{number_of(number, one)} {how} of “{block}”" for block, number in changed.items()]
        said.append(by_block if up and down else total)
    return said[0], said[1]


def _levers_less(problem: Problem, before: Undecided, after: Undecided) -> list[Lever]:
    """The levers of which ``after`` really spends less.

    A step that changes nothing beside another lever, such as the form of a practice that is skipped, does
    not count.
    """
    now = problem.choices(after)
    found = [
        problem.levers[number]
        for number in before.spent_further_than(after)
        if problem.choices(after.with_step(number, before.steps[number])) != now
    ]
    practised = {lever.block for lever in found if lever.code is GiveUp.practice}
    return [one for one in found if one.code is not GiveUp.practice_form or not practised]


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
    if richer.draft.spent_further_than(solution.draft) and problem.asked.first_time:
        return
    price = difference(problem, solution.draft, richer.draft).but
    yield Alternative(f"One round more{price}", fitted(problem, richer))


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
            if _levers_less(problem, solution.draft, kept.draft):
                label = f"Everything kept{_price(problem, solution.draft, kept.draft)}"
                yield Alternative(label, fitted(problem, kept))
            return


def _price(problem: Problem, best: Undecided, kept: Undecided) -> str:
    """What it costs to keep everything."""
    price = difference(problem, best, kept)
    if not is_below_minimum(problem, kept):
        return price.but
    missing_ms = missing_to_minimum_ms(problem, nothing_spent=True)
    below = f"below the coach's minimum of rounds, {format_duration(missing_ms)} short"
    return _but(*price.other_costs, below)


def _a_longer_warm_up(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    less = _one_round_less(problem, solution)
    slower = less and _best_with_rounds(problem, less)
    if slower and problem.warm_up_rounds(slower.draft) > problem.warm_up_rounds(solution.draft):
        price = difference(problem, solution.draft, slower.draft).but
        yield Alternative(f"A longer warm-up{price}", fitted(problem, slower))


def _best_with_rounds(problem: Problem, rounds: Rounds) -> Solution | None:
    """The best solution with the rounds of the work blocks fixed."""
    fixed = {block: (rounds[block], rounds[block]) for block in problem.work_ids}
    return _best_within(problem, decisions_of(problem.plan, problem.levers, fixed))


def _best_within(problem: Problem, decisions: Sequence[Decision]) -> Solution | None:
    """The best solution within the minutes and within what less pain gives."""
    budget_ms = problem.asked.budget_ms
    possible = problem.within(decisions, budget_ms)
    return None if possible is None else problem.best(possible, budget_ms)


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
