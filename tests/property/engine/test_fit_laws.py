"""Laws of the fit, searched over plans that a coach could write."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import product

from builders import session
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import fits, plans, questions

from engine.choose import choose
from engine.fit import (
    Decision,
    Problem,
    Solution,
    decisions_of,
    fitted,
    pose,
    shortest_possible_ms,
    solve,
    work_vectors,
)
from engine.movement import Kit, Side
from engine.offer import offer
from engine.segment import Choices, Kind, total_ms
from engine.timeline import compile_plan

MOST_WAYS = 4_000


def rank(solution: Solution) -> tuple[int, ...]:
    """Where each decision's value stands among its values, the most worthy decision first."""
    return tuple(
        next(place for place, value in enumerate(decision.values) if value is step)
        for decision, step in solution.taken
    )


def any_choices(problem: Problem, data: st.DataObject) -> Choices:
    choices = problem.start
    for decision in decisions_of(problem, work_vectors(problem, below_minimum=data.draw(st.booleans()))):
        choices = data.draw(st.sampled_from(decision.values))(choices)
    return choices


@given(plans(), questions(), st.data())
def test_the_length_that_is_reckoned_is_the_length_that_is_compiled(plan, asked, data) -> None:
    """Measure extrapolates from one and two rounds; whatever is chosen, the compiled session lasts as
    long."""
    problem = pose(plan, asked)
    choices = any_choices(problem, data)
    compiled = compile_plan(plan, choices, problem.choice.by_block)
    assert problem.measure.total_ms(choices) == total_ms(compiled)
    assert all(segment.planned_ms >= 0 for segment in compiled)


@given(plans(), questions(), st.data())
def test_both_sides_get_the_same_time(plan, asked, data) -> None:
    """In every interval and every mode, left and right are worked equally long, to the millisecond."""
    problem = pose(plan, asked)
    times: dict[tuple[object, ...], dict[Side, int]] = defaultdict(lambda: {Side.left: 0, Side.right: 0})
    for segment in compile_plan(plan, any_choices(problem, data), problem.choice.by_block):
        if segment.side in (Side.left, Side.right) and segment.kind not in (Kind.side_change, Kind.get_ready):
            times[segment.block, segment.round, segment.movement, segment.kind][segment.side] += (
                segment.planned_ms
            )
    assert all(sides[Side.left] == sides[Side.right] for sides in times.values())


@given(plans(), questions(), st.data())
def test_every_segment_has_a_name_of_its_own_and_no_block_ends_with_a_rest(plan, asked, data) -> None:
    problem = pose(plan, asked)
    compiled = compile_plan(plan, any_choices(problem, data), problem.choice.by_block)
    assert len({segment.id for segment in compiled}) == len(compiled)
    for one, following in zip(compiled, [*compiled[1:], None], strict=True):
        if following is None or following.block != one.block:
            assert one.kind not in (Kind.rest, Kind.side_change, Kind.transition, Kind.get_ready)


@given(plans(), questions())
def test_a_session_never_lasts_longer_than_the_minutes(plan, asked) -> None:
    """And where there is none, the shortest session permitted would be longer."""
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    if solution is not None:
        assert fitted(problem, solution).total_ms <= asked.budget_ms
    elif any(problem.choice.by_block[block.id] for block in plan.work_blocks()):
        assert shortest_possible_ms(problem) > asked.budget_ms


@given(fits(), st.integers(1, 30))
def test_more_minutes_are_never_worse(fit, more) -> None:
    """In the plan's own order of worth; a session of the minimum beats any below it."""
    plan, asked, _ = fit
    problem = pose(plan, asked)
    less = solve(problem, asked.budget_ms)
    assert less is not None
    richer = solve(problem, asked.budget_ms + more * 60_000)
    assert richer is not None
    short = [fitted(problem, one).below_minimum for one in (less, richer)]
    assert short != [False, True]
    if short[0] == short[1]:
        assert rank(richer) <= rank(less)


@given(fits())
def test_no_lever_is_spent_further_than_needed(fit) -> None:
    """Taking any one lever back by one step, all else as it is, would not fit or change nothing."""
    plan, asked, _ = fit
    problem = pose(plan, asked)
    solution = solve(problem, asked.budget_ms)
    assert solution is not None
    for index, place in enumerate(rank(solution)):
        decision = solution.taken[index][0]
        if decision.lever is None or place == 0:
            continue
        choices = problem.start
        for other, (_, step) in enumerate(solution.taken):
            choices = (decision.values[place - 1] if other == index else step)(choices)
        assert choices == solution.choices or problem.measure.total_ms(choices) > asked.budget_ms


def best_of_all(problem: Problem, decisions: Sequence[Decision], budget_ms: int) -> tuple[int, ...] | None:
    """The first of every way to decide, in the order of worth, whose compiled session fits."""
    for places in product(*(range(len(decision.values)) for decision in decisions)):
        choices = problem.start
        for place, decision in zip(places, decisions, strict=True):
            choices = decision.values[place](choices)
        if total_ms(compile_plan(problem.plan, choices, problem.choice.by_block)) <= budget_ms:
            return places
    return None


@given(fits(most_spare_min=6))
def test_the_fit_is_the_best_of_all_ways_to_decide(fit) -> None:
    """The lexicographic optimum against brute force over compiled sessions, where minutes are short."""
    plan, asked, _ = fit
    problem = pose(plan, asked)
    decisions = decisions_of(problem, work_vectors(problem))
    ways = 1
    for decision in decisions:
        ways *= len(decision.values)
    assume(ways <= MOST_WAYS)
    found = problem.best(decisions, asked.budget_ms)
    assert (rank(found) if found else None) == best_of_all(problem, decisions, asked.budget_ms)


@given(fits())
def test_every_swap_is_told_and_every_lever_gives_time_back(fit) -> None:
    plan, asked, session = fit
    told = [reason for reason in session.reasons if reason.code not in ("swapped", "left_out")]
    assert all(reason.seconds > 0 for reason in told)
    swapped = [reason.text for reason in session.reasons if reason not in told]
    assert swapped == [swap.text for swap in choose(plan, asked.room).swaps]


@given(fits())
def test_every_alternative_fits_the_minutes_and_differs(fit) -> None:
    plan, asked, session = fit
    offered = offer(plan, asked)
    assert offered.session == session
    for one in offered.alternatives:
        assert one.session.total_ms <= asked.budget_ms
        assert one.session.choices != session.choices
        if asked.first_time:
            assert not [reason for reason in one.session.reasons if reason.seconds]


@given(fits())
def test_a_minute_that_changes_the_session_says_what_it_buys(fit) -> None:
    """And one that changes nothing says nothing."""
    plan, asked, session = fit
    problem, before = pose(plan, asked), session.choices
    for one in offer(plan, asked).more_minutes:
        richer = solve(problem, asked.budget_ms + one.minutes * 60_000)
        assert richer is not None
        assert (one.buys is None) == (richer.choices == before)
        before = richer.choices


@given(fits())
def test_what_one_round_more_needs_is_reckoned_with_everything_else_as_it_is(fit) -> None:
    plan, asked, session = fit
    measure, rounds = pose(plan, asked).measure, session.choices.rounds
    missing_ms = offer(plan, asked).missing_ms
    growing = [block.id for block in plan.work_blocks() if rounds[block.id] < asked.most_rounds(block)]
    longer_ms = [
        measure.total_ms(session.choices.model_copy(update={"rounds": rounds | {block: rounds[block] + 1}}))
        for block in growing
    ]
    assert (missing_ms is None) == (not growing)
    assert missing_ms is None or missing_ms in [
        max(0, length_ms - asked.budget_ms) for length_ms in longer_ms
    ]


@given(st.sampled_from(Kit), st.integers(15, 60))
def test_the_same_question_has_the_same_session(kit: Kit, minutes: int) -> None:
    assert session(minutes=minutes, kit=kit).id == session(minutes=minutes, kit=kit).id
