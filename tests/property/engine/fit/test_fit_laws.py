"""Laws of the fit, searched over plans that a coach could write."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise, product

from builders import compile_plan, session
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import fits, plans, questions

from engine.base.message import Listed, Message
from engine.fit.assemble import fitted
from engine.fit.choose import choose
from engine.fit.decisions import Decision, LeverDecision
from engine.fit.lengths import Undecided
from engine.fit.offer import offer
from engine.fit.problem import Problem, is_below_minimum, pose, shortest_possible_ms, solve
from engine.fit.reasons import SwapCode
from engine.movements.movement import Kit, Side
from engine.plan.plan import GiveUp, PracticeKind
from engine.plan.terms import CUTS
from engine.session.choices import Choices
from engine.session.segment import Kind, total_ms

MOST_WAYS = 4_000
NOT_LEVERS = ("below_minimum", *SwapCode, "no_more_for_pain")


def any_draft(problem: Problem, data: st.DataObject) -> Undecided:
    """A draft in which every decision took any value."""
    decisions = data.draw(st.sampled_from([problem.decisions, problem.below or problem.decisions]))
    draft = problem.open(decisions)
    for decision in decisions:
        draft = decision.take(draft, data.draw(st.integers(0, decision.size - 1)))
    return draft


def compiled_ms(problem: Problem, draft: Undecided) -> int:
    return total_ms(compile_plan(problem.plan, problem.choices(draft), problem.choice.by_block))


@given(plans(), questions(), st.data())
def test_the_length_that_is_reckoned_is_the_length_that_is_compiled(plan, asked, data) -> None:
    """Lengths are reckoned block by block from one round and the next. Whatever is chosen, the session made
    from it lasts as long."""
    problem = pose(plan, asked)
    draft = any_draft(problem, data)
    assert problem.lengths.least_ms(draft) == compiled_ms(problem, draft)
    segments = compile_plan(plan, problem.choices(draft), problem.choice.by_block)
    assert all(segment.planned_ms >= 0 for segment in segments)


@given(plans(), questions(), st.data())
def test_a_lever_that_shortens_shortens_whatever_else_is_decided(plan, asked, data) -> None:
    """No step of such a lever is longer than the one before, so its last step is the shortest."""
    problem = pose(plan, asked)
    draft = any_draft(problem, data)
    for number, lever in enumerate(problem.levers):
        if lever.shortens:
            spent = [compiled_ms(problem, draft.with_step(number, step)) for step in range(len(lever.steps))]
            assert spent == sorted(spent, reverse=True)


@given(plans(), questions())
def test_the_least_length_of_an_open_draft_is_the_shortest_of_all_its_sessions(plan, asked) -> None:
    """The question that the fit rests on, answered by making every session there is."""
    problem = pose(plan, asked)
    decisions = problem.below or problem.decisions
    drafts = [problem.open(decisions)]
    for decision in decisions:
        drafts = [decision.take(draft, rank) for draft in drafts for rank in range(decision.size)]
        assume(len(drafts) <= MOST_WAYS // 4)
    assert problem.lengths.least_ms(problem.open(decisions)) == min(
        compiled_ms(problem, draft) for draft in drafts
    )


@given(plans(), questions(), st.data())
def test_both_sides_get_the_same_time(plan, asked, data) -> None:
    """In every interval and every mode left and right work equally long, to the millisecond."""
    problem = pose(plan, asked)
    times: dict[tuple[object, ...], dict[Side, int]] = defaultdict(lambda: {Side.left: 0, Side.right: 0})
    choices = problem.choices(any_draft(problem, data))
    for segment in compile_plan(plan, choices, problem.choice.by_block):
        if segment.side in (Side.left, Side.right) and segment.kind not in (Kind.side_change, Kind.get_ready):
            times[segment.block, segment.round, segment.place, segment.kind][segment.side] += (
                segment.planned_ms
            )
    assert all(sides[Side.left] == sides[Side.right] for sides in times.values())


@given(plans(), questions(), st.data())
def test_every_segment_has_a_name_of_its_own_and_no_block_ends_with_a_rest(plan, asked, data) -> None:
    problem = pose(plan, asked)
    choices = problem.choices(any_draft(problem, data))
    compiled = compile_plan(plan, choices, problem.choice.by_block)
    assert len({segment.id for segment in compiled}) == len(compiled)
    for one, following in zip(compiled, [*compiled[1:], None], strict=True):
        if following is None or following.block != one.block:
            assert one.kind not in (Kind.rest, Kind.side_change, Kind.transition, Kind.get_ready)


@given(plans(), questions())
def test_a_session_never_lasts_longer_than_the_minutes(plan, asked) -> None:
    """Where there is no session, the shortest that is permitted would be longer."""
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    if solution is not None:
        assert fitted(problem, solution).total_ms <= asked.budget_ms <= asked.minutes * 60_000
    elif any(problem.choice.by_block[block.id] for block in plan.work_blocks()):
        assert shortest_possible_ms(problem) > asked.budget_ms


@given(fits(), st.integers(1, 30))
def test_more_minutes_are_never_worse(fit, more) -> None:
    """Better is meant in the plan's own order of worth; a session of the minimum beats any below it."""
    plan, asked, _ = fit
    problem = pose(plan, asked)
    less = solve(problem, asked.budget_ms)
    assert less is not None
    richer = solve(problem, asked.budget_ms + more * 60_000)
    assert richer is not None
    short = [fitted(problem, one).below_minimum for one in (less, richer)]
    assert short != [False, True]
    if short[0] == short[1]:
        assert richer.ranks <= less.ranks


@given(fits())
def test_no_lever_is_spent_further_than_needed(fit) -> None:
    """Taking one lever back by one step, with all else as it is, would not fit or would change nothing."""
    plan, asked, _ = fit
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    assert solution is not None
    for number in problem.spent(solution.draft):
        step = solution.draft.steps[number]
        assert step
        back = solution.draft.with_step(number, step - 1)
        assert problem.choices(back) == problem.choices(solution.draft) or (
            compiled_ms(problem, back) > asked.budget_ms
        )


def best_of_all(problem: Problem, decisions: Sequence[Decision], budget_ms: int) -> tuple[int, ...] | None:
    """The first of all ways to decide, in the order of worth, whose session fits."""
    for ranks in product(*(range(decision.size) for decision in decisions)):
        draft = problem.open(decisions)
        for rank, decision in zip(ranks, decisions, strict=True):
            draft = decision.take(draft, rank)
        if compiled_ms(problem, draft) <= budget_ms:
            return ranks
    return None


@given(fits(most_spare_min=6))
def test_the_fit_is_the_best_of_all_ways_to_decide(fit) -> None:
    """The lexicographic optimum against brute force over every session, where minutes are short."""
    plan, asked, _ = fit
    problem = pose(plan, asked)
    ways = 1
    for decision in problem.decisions:
        ways *= decision.size
    assume(ways <= MOST_WAYS)
    found = problem.best(problem.decisions, asked.budget_ms)
    assert (found.ranks if found else None) == best_of_all(problem, problem.decisions, asked.budget_ms)


@given(fits())
def test_every_reason_names_a_lever_that_moved_and_the_seconds_it_gave_back(fit) -> None:
    """Made again with only that lever as planned, the session is longer by these seconds."""
    plan, asked, session = fit
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    assert solution is not None
    told = [(r.code, r.seconds) for r in session.reasons if r.code not in NOT_LEVERS]
    moved = [
        (
            problem.levers[number].code,
            (compiled_ms(problem, solution.draft.with_step(number, 0)) - session.total_ms) / 1000,
        )
        for number, step in enumerate(solution.draft.steps)
        if step
    ]
    assert told == moved
    assert all(gained_s > 0 for _, gained_s in told)


@given(fits())
def test_every_swap_is_told_and_so_is_what_a_short_session_lacks(fit) -> None:
    plan, asked, session = fit
    told = [reason.message for reason in session.reasons if reason.code in set(SwapCode)]
    assert told == [one.told for swap in choose(plan, asked.room).swaps for one in swap.said]
    lacking = [reason.seconds for reason in session.reasons if reason.code == "below_minimum"]
    assert len(lacking) == session.below_minimum
    for lacking_s in lacking:
        problem = pose(plan, asked)
        needed_ms = asked.budget_ms + round(lacking_s * 1000)
        enough, too_little = solve(problem, needed_ms), solve(problem, needed_ms - 1)
        assert enough is not None
        assert not is_below_minimum(problem, enough.draft)
        assert too_little is None or is_below_minimum(problem, too_little.draft)


@given(fits())
def test_every_alternative_fits_the_minutes_and_differs(fit) -> None:
    plan, asked, session = fit
    offered = offer(plan, asked)
    assert offered.session == session
    shown = [session, *(one.session for one in offered.alternatives)]
    assert len(shown) <= 3
    assert len({one.model_dump_json() for one in shown}) == len(shown)
    assert len({one.label for one in offered.alternatives}) == len(offered.alternatives)
    spent = {reason.code for reason in session.reasons}
    for one in offered.alternatives:
        assert one.session.total_ms <= asked.budget_ms
        assert one.session.below_minimum <= any(b.rounds.permitted < b.rounds.min for b in plan.work_blocks())
        if asked.first_time:
            assert {reason.code for reason in one.session.reasons if reason.seconds} <= spent | {
                "below_minimum"
            }


def has_more(after: Choices, before: Choices) -> bool:
    """Whether a session has anything that another has not, compared field by field."""
    shortened = ("rest_s", "work_s", "cool_down_s")
    given_up = ("hand_inside", "leg_inside", "without_optional")
    longer = any(
        getattr(after, field).get(block, LONGEST) > to_s
        for field in shortened
        for block, to_s in getattr(before, field).items()
    )
    back = any(set(getattr(before, field)) - set(getattr(after, field)) for field in given_up)
    practised = any(
        variant is not before.practice[block] and variant is not PracticeKind.skipped
        for block, variant in after.practice.items()
    )
    rounds = any(number > before.rounds[block] for block, number in after.rounds.items())
    return longer or back or practised or rounds


LONGEST = 10**6
COSTS = {*(one.code for one in CUTS.values()), "rounds_less", "warm_up_rounds_less", "short_of_minimum"}


def parts(said: Message, name: str) -> list[str]:
    """The codes of what is gained, or of what that costs, whatever block it is in."""
    several = said.arguments.get(name)
    found = several.listed if isinstance(several, Listed) else [said][: name == "gains"]
    bare = (one.arguments.get("part", one) for one in found if isinstance(one, Message))
    return [one.code for one in bare if isinstance(one, Message)]


def gives_first(said: Message) -> bool:
    """Whether a line says what is given before any cost, and each cost only after “but”."""
    gains, costs = parts(said, "gains"), parts(said, "costs")
    return bool(gains) and COSTS.isdisjoint(gains) and COSTS.issuperset(costs)


@given(fits())
def test_a_minute_that_buys_something_says_what_and_one_that_only_loses_says_nothing(fit) -> None:
    """A line stands exactly where something is gained over the last line, or over the session as it is. It
    says what is gained first."""
    plan, asked, session = fit
    problem, before = pose(plan, asked), session.choices
    for one in offer(plan, asked).more_minutes:
        richer = solve(problem, asked.budget_ms + one.minutes * 60_000)
        assert richer is not None
        after = problem.choices(richer.draft)
        assert one.buys is None or (has_more(after, before) and gives_first(one.buys))
        assert one.buys is not None or not has_more(after, before)
        assert bool(one.buys and parts(one.buys, "costs")) <= has_more(before, after)
        before = after if one.buys else before


@given(fits())
def test_no_alternative_only_loses_something(fit) -> None:
    """Each has something that the session has not, says so first, and “Everything kept” gives up nothing
    where the session does."""
    plan, asked, session = fit
    for one in offer(plan, asked).alternatives:
        assert has_more(one.session.choices, session.choices)
        assert gives_first(one.label)
        if parts(one.label, "gains") == ["everything_kept"]:
            given_up = [
                {r.code for r in of.reasons if r.code in set(GiveUp)} for of in (one.session, session)
            ]
            assert not given_up[0]
            assert given_up[1]


@given(fits())
def test_what_one_round_more_needs_is_enough_and_a_millisecond_less_is_not(fit) -> None:
    plan, asked, session = fit
    missing_ms = offer(plan, asked).missing_ms
    at_most = all(session.choices.rounds[b.id] >= asked.most_rounds(b) for b in plan.work_blocks())
    assert (missing_ms is None) == at_most
    if missing_ms is not None:
        problem = pose(plan, asked)
        rounds = [
            problem.work_rounds(solution.draft)
            for spare_ms in (missing_ms, missing_ms - 1)
            if (solution := solve(problem, asked.budget_ms + spare_ms))
        ]
        assert rounds[0] > session.rounds() >= rounds[1]


@given(plans(), questions())
def test_a_dropped_movement_leaves_its_neighbours_apart(plan, asked) -> None:
    """Whatever optional movements go, no two of one region follow each other where the plan kept them apart,
    nor two that are heavy on the grip. From the last of a round to the first, an odd number cannot
    alternate."""
    problem = pose(plan, asked)
    known = plan.known_movements()
    levers = [one for one in problem.levers if one.code == "optional_movements"]
    for step in (step for lever in levers for step in lever.steps):
        gone = step(problem.start).without_optional
        for block in plan.work_blocks():
            chosen = problem.choice.by_block[block.id]
            named = dict(enumerate((item.movement for item in block.movements), 1))
            planned = [place for place, slug in named.items() if slug in chosen]
            kept = [place for place in planned if f"{block.id}:{place}:{named[place]}" not in gone]
            assert kept or not planned
            follows = dict(pairwise([*planned, *planned[:1]]))
            seam = kept[:1] if len(kept) % 2 == 0 else []
            for one, other in pairwise([*kept, *seam]):
                regions = [known[chosen[named[p]].movement].region for p in (one, other, follows[one])]
                assert follows[one] == other or regions[0] is not regions[1] or regions[0] is regions[2]


@given(st.sampled_from(Kit), st.integers(15, 60))
def test_the_same_question_has_the_same_session(kit: Kit, minutes: int) -> None:
    assert session(minutes=minutes, kit=kit).id == session(minutes=minutes, kit=kit).id


@given(plans(), questions())
def test_every_decision_is_made_once(plan, asked) -> None:
    """Each lever, and the rounds of each block, have their one turn, wherever the plan names them."""
    problem = pose(plan, asked)
    numbers = [one.lever for one in problem.decisions if isinstance(one, LeverDecision)]
    blocks = [
        block for one in problem.decisions if not isinstance(one, LeverDecision) for block in one.ways[0]
    ]
    assert sorted(numbers) == list(range(len(problem.levers)))
    assert sorted(blocks) == sorted(problem.start.rounds)
