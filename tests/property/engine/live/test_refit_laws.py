"""Laws of a re-fit: it keeps the finish by the plan's order of worth and touches nothing else."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise, product

from builders import Journal, permitting, plan, session
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import allowances, cool_downs, journals, warm_ups, works

from engine.live.refit import LATE_FROM_MS, Refit, keep_finish
from engine.live.state import RunState, Status
from engine.live.timing import remaining_at, remaining_session_at
from engine.movements.movement import Kit
from engine.plan.plan import Allowance, Buys, GiveUp, RoundsRange
from engine.session.fitted import FittedSession
from engine.session.leeway import OnTheRun
from engine.session.segment import BETWEEN, Kind, Segment, total_ms


@st.composite
def long_sessions(draw: st.DrawFn) -> FittedSession:
    """The longest session of a plan."""
    blocks = [
        draw(st.none() | warm_ups()),
        draw(works("first")),
        draw(st.none() | works("second")),
        draw(st.none() | cool_downs()),
    ]
    fewest, least, most = sorted(draw(st.tuples(st.integers(1, 2), st.integers(1, 3), st.integers(2, 4))))
    rounds = {"rounds": RoundsRange(min=least, max=most)}
    made = plan(
        *(b.model_copy(update={} if b.kind == "cool_down" else rounds) for b in blocks if b is not None),
        allowances=draw(allowances()),
        buys=tuple(draw(st.permutations(list(Buys)))),
    )
    if draw(st.booleans()):
        made = permitting(made, fewest)
    return session(made, minutes=120, kit=draw(st.sampled_from(Kit)))


@st.composite
def late_runs(draw: st.DrawFn) -> tuple[Journal, int, Refit]:
    """A run that would be late, the time it has left, and the re-fit that keeps its finish."""
    run = draw(journals(draw(long_sessions()), ends=False))
    run.write("resumed", run.state.at_ms)
    state = run.state
    assume(state.status is Status.running)
    could_give_ms = _behind_ms(state) - min(length_ms for _, length_ms, _ in _ways(state))
    assume(could_give_ms > LATE_FROM_MS)
    missing_ms = draw(st.integers(LATE_FROM_MS + 1, could_give_ms))
    left_ms = remaining_session_at(state, state.at_ms) - missing_ms
    refit = keep_finish(state, left_ms)
    assert refit is not None
    return run, left_ms, refit


def _behind_ms(state: RunState) -> int:
    """The length of everything after the current interval."""
    return total_ms(state.segments[state.interval.stop :])


def intervals(segments: tuple[Segment, ...]) -> list[Segment]:
    return [segment for segment in segments if segment.kind not in BETWEEN]


@given(late_runs())
def test_what_remains_ends_by_the_promised_finish(late) -> None:
    run, left_ms, refit = late
    assert remaining_at(run.state, run.state.at_ms) + total_ms(refit.segments) <= left_ms


@given(late_runs())
def test_it_changes_nothing_that_is_on_or_done(late) -> None:
    run, _, refit = late
    before = run.state
    run.write("refitted", before.at_ms, segments=refit.segments, said=refit.said)
    after = run.state
    assert (after.current, after.done, after.anchor.elapsed_ms) == (
        before.current,
        before.done,
        before.anchor.elapsed_ms,
    )
    assert after.segments[: before.interval.stop] == before.segments[: before.interval.stop]


@given(late_runs())
def test_only_whole_intervals_leave_and_every_other_is_as_long_as_before(late) -> None:
    run, _, refit = late
    planned = {segment.id: segment for segment in run.state.coming}
    for segment in intervals(refit.segments):
        if segment.kind is Kind.cool_down:
            assert segment.planned_ms <= planned[segment.id].planned_ms
        else:
            assert segment == planned[segment.id]


@given(late_runs())
def test_no_rest_before_an_interval_gets_shorter(late) -> None:
    run, _, refit = late
    rests_before = dict(_rest_before(run.state.current, run.state.coming))
    for interval_id, rest_ms in _rest_before(run.state.current, refit.segments):
        assert rest_ms >= rests_before[interval_id]


def _rest_before(on: Segment | None, segments: tuple[Segment, ...]) -> Iterator[tuple[str, int]]:
    rest_ms = on.planned_ms if on is not None and on.kind is Kind.rest else 0
    for segment in segments:
        if segment.kind is Kind.rest:
            rest_ms += segment.planned_ms
        elif segment.kind not in BETWEEN:
            yield segment.id, rest_ms
            rest_ms = 0


@given(late_runs())
def test_no_rest_leads_nowhere_and_no_block_is_announced_that_has_nothing(late) -> None:
    _, _, refit = late
    for index, segment in enumerate(refit.segments):
        if segment.kind in BETWEEN:
            following = next(s for s in refit.segments[index + 1 :] if s.kind not in BETWEEN)
            assert following.block == segment.block
            assert segment.movement in (None, following.movement)


@given(late_runs())
def test_sides_stay_equal_across_it(late) -> None:
    run, _, refit = late
    worked: dict[tuple[str, int | None, int | None], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    segments = run.state.segments[: run.state.index + 1] + refit.segments
    for segment in segments:
        if segment.kind in (Kind.work, Kind.cool_down) and segment.side is not None:
            worked[segment.block, segment.round, segment.place][segment.side] += segment.planned_ms
    planned_equal = all(_equal(by_side) for by_side in worked.values())
    assert planned_equal


def _equal(by_side: dict[str, int]) -> bool:
    return "both" in by_side or by_side.get("left") == by_side.get("right")


@given(late_runs())
def test_no_cut_brings_two_places_of_one_movement_together(late) -> None:
    """A-B-A-C never becomes A-A: what stands between the two stays."""
    run, _, refit = late
    on = run.state.in_hand
    assert on is not None
    assert _met_places(on, refit.segments) <= _met_places(on, run.state.coming)


def _met_places(on: Segment, segments: tuple[Segment, ...]) -> set[tuple[object, ...]]:
    """Pairs of places that have one movement and follow each other."""
    works = [s for s in (on, *segments) if s.kind is Kind.work]
    return {
        (_place(one), _place(other))
        for one, other in pairwise(works)
        if (one.block, one.movement) == (other.block, other.movement) and one.place != other.place
    }


@given(late_runs())
def test_asked_again_it_has_nothing_more_to_change(late) -> None:
    run, left_ms, refit = late
    run.write("refitted", run.state.at_ms, segments=refit.segments, said=refit.said)
    assert keep_finish(run.state, left_ms) is None


@given(late_runs())
def test_it_is_the_best_of_all_remainders_in_the_plans_order_of_worth(late) -> None:
    """Compared with every way to keep rounds and cool-down, each measured from the segments alone."""
    run, left_ms, refit = late
    state = run.state
    assume(not _drops(state))
    budget_ms = left_ms - remaining_session_at(state, state.at_ms) + _behind_ms(state)
    ways = [way for way in _ways(state) if way[1] <= budget_ms]
    regular = [way for way in ways if not way[2]]
    best = min(regular or ways, key=lambda way: way[0])
    assert total_ms(refit.segments) - total_ms(state.coming) + _behind_ms(state) == best[1]


@st.composite
def runs_with_something_optional(draw: st.DrawFn) -> tuple[Journal, int, int]:
    """A late run that could leave out the last optional movement to come: what is missing, and what that one
    movement alone would give."""
    block = draw(works("first"))
    kinds = [(True, False), (False, True)]
    others = len(block.movements) - 1
    which = [(False, False), *draw(st.lists(st.sampled_from(kinds), min_size=others, max_size=others))]
    items = tuple(
        item.model_copy(update={"optional": optional, "may_go": may_go})
        for item, (optional, may_go) in zip(block.movements, which, strict=True)
    )
    assume(len(items) > 1)
    made = plan(
        *(one for one in (draw(st.none() | warm_ups()),) if one is not None),
        block.model_copy(update={"movements": items, "rounds": RoundsRange(min=1, max=4)}),
        *(one for one in (draw(st.none() | cool_downs()),) if one is not None),
        allowances=(
            Allowance(give_up=GiveUp.optional_movements),
            *(one for one in draw(allowances()) or () if one.give_up is not GiveUp.optional_movements),
        ),
        buys=tuple(draw(st.permutations(list(Buys)))),
    )
    run = draw(journals(session(made, minutes=120, kit=draw(st.sampled_from(Kit))), ends=False))
    run.write("resumed", run.state.at_ms)
    assume(run.state.status is Status.running)
    gives_ms = _last_optional_gives_ms(run.state)
    assume(gives_ms > LATE_FROM_MS)
    return run, draw(st.integers(LATE_FROM_MS + 1, gives_ms)), gives_ms


def _last_optional_gives_ms(state: RunState) -> int:
    """What the run saves without the last optional movement that has not begun, else without the last one
    that the coach lets go, measured from the segments: its interval, and the shorter of the rests around it.
    One that stands between two places of one movement stays. 0 where there is none."""
    behind, leeway = state.segments[state.interval.stop :], state.session.leeway
    works = [s for s in reversed(behind) if s.kind is Kind.work and not _keeps_one_movement_apart(state, s)]
    optional = [s for s in works if s.place in leeway.optional.get(s.block, ())]
    last = next((s for s in works if s.place in leeway.let_go.get(s.block, ())), None)
    last = optional[0] if optional else last
    if last is None:
        return 0
    at = [index for index, s in enumerate(behind) if s.kind is not Kind.rest and _place(s) == _place(last)]
    around = (*behind[max(0, at[0] - 1) : at[0]], *behind[at[-1] + 1 : at[-1] + 2])
    rests = [s.planned_ms for s in around if s.kind is Kind.rest]
    return total_ms(behind[at[0] : at[-1] + 1]) + min(rests, default=0) if at[0] else 0


def _keeps_one_movement_apart(state: RunState, segment: Segment) -> bool:
    works = [s for s in state.segments if s.kind is Kind.work and s.block == segment.block]
    before = [s for s in works[: works.index(segment)] if _place(s) != _place(segment)][-1:]
    after = [s for s in works[works.index(segment) :] if _place(s) != _place(segment)][:1]
    pairs = zip(before, after, strict=False)
    return any(one.movement == other.movement and one.place != other.place for one, other in pairs)


def _place(segment: Segment) -> tuple[object, ...]:
    return segment.block, segment.round, segment.place


@given(runs_with_something_optional())
def test_no_cut_is_larger_than_the_last_optional_movement_where_that_suffices(late) -> None:
    """On the run the smallest cut goes first: the last round's optional movement, else one that the coach
    lets go, before anything larger."""
    run, missing_ms, gives_ms = late
    state = run.state
    refit = keep_finish(state, remaining_session_at(state, state.at_ms) - missing_ms)
    assert refit is not None
    assert missing_ms <= total_ms(state.coming) - total_ms(refit.segments) <= gives_ms


def _drops(state: RunState) -> bool:
    leeway = state.session.leeway
    return any(leeway.let_go.values()) or (
        OnTheRun.optional_movements in leeway.worth and any(leeway.optional.values())
    )


def _ways(state: RunState) -> Iterator[tuple[tuple[object, ...], int, bool]]:
    """Every way except dropping movements: its worth (smaller is better), its length, and whether it is below
    the minimum."""
    behind, begun = state.segments[state.interval.stop :], state.segments[: state.index + 1]
    leeway, kinds = state.session.leeway, {block.id: block.kind for block in state.session.blocks}
    ranges = dict(_ranges(state, behind, begun))
    least = {b: max(r.start, min(leeway.fewest_rounds[b], r.stop - 1)) for b, r in ranges.items()}
    for rounds, (block, to_s, place) in product(
        product(*ranges.values()), _cool_downs(state, behind, begun[-1])
    ):
        kept = dict(zip(ranges, rounds, strict=True))
        below = any(kept[b] < least[b] for b in kept)
        if below and any(kept[b] < max(r.start, leeway.permitted_rounds[b]) for b, r in ranges.items()):
            continue
        length_ms = sum(_length_ms(behind, one, kept.get(one)) for one in kinds)
        length_ms -= _trimmed_ms(behind, block, to_s)
        yield _worth(state, kept, {} if below else least, place, kinds), length_ms, below


def _ranges(
    state: RunState, behind: tuple[Segment, ...], begun: tuple[Segment, ...]
) -> Iterator[tuple[str, range]]:
    for block in state.session.blocks:
        most = max((s.round or 0 for s in behind if s.block == block.id), default=0)
        started = max((s.round or 0 for s in begun if s.block == block.id), default=0)
        if most and block.kind in ("work", "warm_up"):
            yield block.id, range(max(1, started), most + 1)


def _cool_downs(
    state: RunState, behind: tuple[Segment, ...], on: Segment
) -> Iterator[tuple[str, int | None, int]]:
    yield "", None, 0
    leeway = state.session.leeway
    for block, lengths in leeway.cool_down_s.items():
        comes = any(s.block == block for s in behind) and on.block != block
        if comes and OnTheRun.cool_down in leeway.worth:
            yield from ((block, to_s, place) for place, to_s in enumerate(lengths, start=1))


def _trimmed_ms(behind: tuple[Segment, ...], block: str, to_s: int | None) -> int:
    parts = [s.planned_ms for s in behind if s.block == block and s.kind is Kind.cool_down]
    return 0 if to_s is None else sum(parts) - sum(part * to_s * 1000 // sum(parts) for part in parts)


def _length_ms(behind: tuple[Segment, ...], block: str, rounds: int | None) -> int:
    held = [s for s in behind if s.block == block]
    kept = [s for s in held if rounds is None or (s.round or 0) <= rounds]
    if kept and len(kept) < len(held) and kept[-1].kind is Kind.rest:
        kept.pop()
    return total_ms(kept)


def _worth(
    state: RunState, kept: dict[str, int], least: dict[str, int], cool_down: int, kinds: dict[str, str]
) -> tuple[object, ...]:
    def rounds(kind: str) -> tuple[object, ...]:
        named = [block for block in kept if kinds[block] == kind]
        above = [kept[b] - least.get(b, 1) for b in named]
        uneven = max(above, default=0) - min(above, default=0)
        return (-sum(kept[b] for b in named), uneven, tuple(-kept[b] for b in named))

    by_kind = {
        OnTheRun.rounds: rounds("work"),
        OnTheRun.warm_up: rounds("warm_up"),
        OnTheRun.cool_down: (cool_down,),
        OnTheRun.optional_movements: (),
        OnTheRun.let_go: (),
    }
    return tuple(by_kind[one] for one in state.session.leeway.worth)
