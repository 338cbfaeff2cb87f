"""Other honest ways to spend the minutes: a round more, or fewer rounds with less given up.

Each says first what it gives and then what it costs; what only costs is never offered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from engine.base.message import Count, Message, Seconds, listed, message
from engine.base.units import seconds
from engine.fit.assemble import fitted
from engine.fit.decisions import Decision, RoundsDecision, decisions_of
from engine.fit.lengths import Rounds, Undecided
from engine.fit.levers import Lever
from engine.fit.problem import Problem, Solution, is_below_minimum, missing_to_minimum_ms
from engine.fit.reasons import block_number, gained, lost, part_in_block
from engine.plan.plan import GiveUp, SessionPlan
from engine.session.fitted import FittedSession

MOST_ALTERNATIVES = 2


@dataclass(frozen=True)
class Alternative:
    """Another way to spend the minutes. ``label`` says what it gives and what it costs."""

    label: Message
    session: FittedSession


@dataclass(frozen=True)
class Difference:
    """What one session has that another has not, and what it lacks for that.

    ``fewer_rounds`` are those of the work, ``other_costs`` the rest.
    """

    gains: tuple[Message, ...]
    fewer_rounds: tuple[Message, ...]
    other_costs: tuple[Message, ...]

    @property
    def costs(self) -> tuple[Message, ...]:
        return (*self.fewer_rounds, *self.other_costs)

    @property
    def message(self) -> Message | None:
        """“practice and more rest, but 1 round less”; None where nothing is gained."""
        return traded(self.gains, self.costs) if self.gains else None


def traded(gains: Sequence[Message], costs: Sequence[Message]) -> Message:
    """What is gained, and then what that costs."""
    if costs:
        return message("gains_but", gains=listed(gains), costs=listed(costs))
    return message("gains", gains=listed(gains)) if len(gains) > 1 else gains[0]


def difference(problem: Problem, before: Undecided, after: Undecided) -> Difference:
    """What ``after`` gives over ``before``, and what it costs."""
    blocks = dict.fromkeys((*problem.work_ids, *before.rounds))
    deltas = {block: after.rounds[block] - before.rounds[block] for block in blocks}
    work = {block: deltas.pop(block) for block in problem.work_ids}
    more, less = _rounds_changed(problem.plan, work, (_rounds_more, _rounds_less))
    if list(work.values()) == [1]:
        more = [_ROUND.get(after.rounds[block], _rounds_more(1)) for block in work]
    warmer, colder = _rounds_changed(problem.plan, deltas, (_warm_up_more, _warm_up_less))
    back, given_up = _levers_less(problem, before, after), _levers_less(problem, after, before)
    return Difference(
        gains=(*more, *(gained(one, problem.plan) for one in back), *warmer),
        fewer_rounds=tuple(less),
        other_costs=(*(lost(one, problem.plan) for one in given_up), *colder),
    )


def _rounds_changed(
    plan: SessionPlan, deltas: Rounds, said: tuple[Callable[[int], Message], Callable[[int], Message]]
) -> tuple[list[Message], list[Message]]:
    """The rounds more and the rounds less; each block apart where some have more and others less."""
    up = {block: number for block, number in deltas.items() if number > 0}
    down = {block: -number for block, number in deltas.items() if number < 0}
    more, less = (
        [part_in_block(say(number), plan, block) for block, number in changed.items()]
        if up and down
        else [say(sum(changed.values()))][: len(changed)]
        for changed, say in zip((up, down), said, strict=True)
    )
    return more, less


_ROUND = {2: message("second_round"), 3: message("third_round"), 4: message("fourth_round")}
"""One round more where there is one work block, by the rounds that it has then."""


def _rounds_more(number: int) -> Message:
    return message("rounds_more", rounds=Count(count=number))


def _rounds_less(number: int) -> Message:
    return message("rounds_less", rounds=Count(count=number))


def _warm_up_more(number: int) -> Message:
    return message("warm_up_rounds_more", rounds=Count(count=number))


def _warm_up_less(number: int) -> Message:
    return message("warm_up_rounds_less", rounds=Count(count=number))


def _levers_less(problem: Problem, before: Undecided, after: Undecided) -> list[Lever]:
    """The levers of which ``after`` really spends less.

    A step that changes nothing beside another lever, such as the kind of a practice that is skipped, does
    not count.
    """
    now = problem.choices(after)
    found = [
        problem.levers[number]
        for number in before.spent_further_than(after)
        if problem.choices(after.with_step(number, before.steps[number])) != now
    ]
    practised = {lever.block for lever in found if lever.code is GiveUp.practice}
    return [one for one in found if one.code is not GiveUp.practice_kind or not practised]


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
    costs = difference(problem, solution.draft, richer.draft).costs
    yield Alternative(traded([_rounds_more(1)], costs), fitted(problem, richer))


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
            number = Count(count=block_number(problem.plan, block))
            yield Alternative(message("round_more_alone", block=number), fitted(problem, uneven))
            return


def _everything_kept(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    """Everything that the coach prescribed in fewer rounds, below the minimum where the plan permits it."""
    for decisions in filter(None, (problem.decisions, problem.below)):
        rounds_alone = [one for one in decisions if isinstance(one, RoundsDecision)]
        kept = _best_within(problem, rounds_alone)
        if kept is not None:
            if _levers_less(problem, solution.draft, kept.draft):
                costs = _price(problem, solution.draft, kept.draft)
                label = traded([message("everything_kept")], costs)
                yield Alternative(label, fitted(problem, kept))
            return


def _price(problem: Problem, best: Undecided, kept: Undecided) -> tuple[Message, ...]:
    """What it costs to keep everything."""
    price = difference(problem, best, kept)
    if not is_below_minimum(problem, kept):
        return price.costs
    missing_s = seconds(missing_to_minimum_ms(problem, nothing_spent=True))
    return (*price.other_costs, message("short_of_minimum", missing=Seconds(seconds=missing_s)))


def _a_longer_warm_up(problem: Problem, solution: Solution) -> Iterator[Alternative]:
    less = _one_round_less(problem, solution)
    slower = less and _best_with_rounds(problem, less)
    if slower and problem.warm_up_rounds(slower.draft) > problem.warm_up_rounds(solution.draft):
        costs = difference(problem, solution.draft, slower.draft).costs
        yield Alternative(traded([message("longer_warm_up")], costs), fitted(problem, slower))


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
