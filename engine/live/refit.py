"""Fits the rest of a running session again, so that a promised finish can be kept.

A re-fit takes the smallest cut that keeps the finish: an optional movement of the last round, then one that
the coach lets go, before a round. Where it costs far more than what is missing, it is only offered.

A re-fit happens only when the person acts: on resuming, on ticking an item, on a choice. It never undoes what
was done, never touches the current interval and never shortens a rest. It drops coming rounds and movements,
and trims a cool-down that has not begun. The result is stored as an event and never computed again.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import product

from engine.base.message import Argument, Clock, Count, Message, Seconds, listed, message
from engine.base.units import MS_PER_S, ms
from engine.live.remainder import Ahead, Refit, Segments, without
from engine.live.state import RunState
from engine.live.timing import lead_in_at, remaining_at, remaining_session_at
from engine.session.fitted import FittedSession
from engine.session.leeway import Leeway, OnTheRun
from engine.session.segment import BETWEEN, Kind, Segment, total_ms
from engine.session.terms import chosen_term

LATE_FROM_MS = 60_000
"""A finish missed by less than a minute counts as kept. † Our judgement, no source."""

MOST_TIMES_MISSING = 2
"""A cut that costs more than so many times what is missing is only offered. † Our judgement, no source."""

CUT_UNDONE = message("cut_undone")


@dataclass(frozen=True)
class _Cut:
    """How the coming blocks are cut: rounds kept and cool-downs by block.

    ``less`` is how many intervals of the optional movements, and of those that the coach lets go, are left
    out, from the last one of the coming rounds backwards."""

    rounds: Mapping[str, int] = field(default_factory=dict)
    less: Mapping[OnTheRun, int] = field(default_factory=dict)
    cool_down_s: Mapping[str, int] = field(default_factory=dict)


_MOVEMENTS = (OnTheRun.let_go, OnTheRun.optional_movements)
_Option = Callable[[_Cut], _Cut]
"""One way to take a decision, added to a cut."""


def is_late(state: RunState, left_ms: int) -> bool:
    """Whether a finish ``left_ms`` from now would be missed if nothing changes."""
    return remaining_session_at(state, state.at_ms) > left_ms + LATE_FROM_MS


def keep_finish(state: RunState, left_ms: int) -> Refit | None:
    """The best remainder that ends within ``left_ms`` from now, by the plan's own order of worth.

    None where nothing needs to change (see ``is_late``), and where not even everything that may be given up
    would keep the finish; then the finish can only be moved.
    """
    if state.current is None or not is_late(state, left_ms):
        return None
    ahead = Ahead(state, state.current)
    now_ms = lead_in_at(state, state.at_ms) + remaining_at(state, state.at_ms)
    budget_ms = left_ms - now_ms - total_ms(ahead.rest_of_interval)
    leeway = state.session.leeway
    cut = _best(ahead, _decisions(ahead, fewest=leeway.fewest_rounds), budget_ms)
    if cut is None:
        cut = _best(ahead, _decisions(ahead, fewest=leeway.permitted_rounds), budget_ms)
    if cut is None:
        return None
    given_up = tuple(_given_up(ahead, cut))
    said = tuple(message("given_up", cut=one) for one in given_up)
    return Refit(segments=(*ahead.rest_of_interval, *_later_cut(ahead, cut)), said=said, cut=given_up)


def keeping(cut: Refit, finish_at: datetime) -> Refit:
    """The cut, with the finish that it keeps told too; ``finish_at`` is in local time."""
    *others, last = cut.cut
    kept = message("finish_kept", cut=last, finish=Clock(clock=finish_at.time()))
    return cut.model_copy(update={"said": (*(message("given_up", cut=one) for one in others), kept)})


def later(state: RunState, left_ms: int, cut: Refit | None) -> Refit:
    """Nothing changes, and the finish is later than in ``left_ms``; ``cut`` is what is only offered."""
    late_s = max(0, remaining_session_at(state, state.at_ms) - left_ms) // MS_PER_S
    said = message("nothing_left_to_cut") if cut is None else _nothing_cut(late_s)
    return Refit(segments=state.coming, said=(said,))


def _nothing_cut(late_s: int) -> Message:
    return message("nothing_cut", late=Seconds(seconds=late_s))


def cuts_too_much(state: RunState, cut: Refit, left_ms: int) -> bool:
    """Whether a cut that would keep the finish is only offered, and the finish is late by default: it costs
    far more than the time that is missing, or goes below the coach's minimum."""
    missing_ms = remaining_session_at(state, state.at_ms) - left_ms
    cost_ms = total_ms(state.coming) - total_ms(cut.segments)
    return cost_ms > MOST_TIMES_MISSING * missing_ms or _below_minimum(state, cut)


def _below_minimum(state: RunState, cut: Refit) -> bool:
    """Whether a block of the cut has fewer rounds than its minimum and than it had before."""

    def rounds(segments: Segments, block: str) -> int:
        return max((s.round or 0 for s in segments if s.block == block), default=0)

    begun = state.segments[: state.index + 1]
    return any(
        rounds((*begun, *cut.segments), block) < min(fewest, rounds(state.segments, block))
        for block, fewest in state.session.leeway.fewest_rounds.items()
    )


def keep_everything(state: RunState) -> Refit | None:
    """Takes back what the last re-fit gave up for the finish; None where there is nothing to take back.

    The finish has to move later with it.
    """
    ids = [segment.id for segment in state.before_refit]
    if state.current is None or state.current.id not in ids:
        return None
    before = state.before_refit[ids.index(state.current.id) + 1 :]
    return None if before == state.coming else Refit(segments=before, said=(CUT_UNDONE,))


def by_new_clock(state: RunState) -> Refit:
    """Nothing changes but the finish, which a clock that was set back tells otherwise."""
    return Refit(segments=state.coming, said=(message("clock_set_back"),))


def end_with_both_sides(state: RunState) -> Refit | None:
    """Ends the session after the current interval, so that both sides get the same; None where no other side
    is to come."""
    rest = state.segments[state.index + 1 : state.interval.stop] if state.current is not None else ()
    return Refit(segments=rest, said=(message("both_sides_then_end"),)) if rest else None


def _best(ahead: Ahead, decisions: list[tuple[_Option, ...]], budget_ms: int) -> _Cut | None:
    """The lexicographic optimum: each decision takes its best option for which the later ones can still be
    made to fit."""
    cut = _Cut()
    for index, options in enumerate(decisions):
        for option in options:
            shortest = option(cut)
            for later in decisions[index + 1 :]:
                shortest = later[-1](shortest)
            if total_ms(_later_cut(ahead, shortest)) <= budget_ms:
                cut = option(cut)
                break
        else:
            return None
    return cut


def _decisions(ahead: Ahead, *, fewest: Mapping[str, int]) -> list[tuple[_Option, ...]]:
    """The decisions, the most worthy first, each with its options from the best to the shortest.

    ``fewest`` are the rounds to keep, by block; 1 for a block without an entry.
    """
    by_kind: dict[OnTheRun, Callable[[], tuple[_Option, ...]]] = {
        OnTheRun.rounds: lambda: _rounds(ahead, "work", fewest),
        OnTheRun.warm_up: lambda: _rounds(ahead, "warm_up", fewest),
        OnTheRun.cool_down: lambda: _cool_down(ahead),
        OnTheRun.optional_movements: lambda: _fewer(ahead, OnTheRun.optional_movements),
        OnTheRun.let_go: lambda: _fewer(ahead, OnTheRun.let_go),
    }
    return [by_kind[one]() for one in _worth_on_the_run(ahead.state.session.leeway)]


def _worth_on_the_run(leeway: Leeway) -> list[OnTheRun]:
    """The plan's order of worth, with movements last: on the run one of them is the smallest cut, and goes
    before a round does; an optional one before one that the coach lets go."""
    return sorted(leeway.worth, key=lambda one: _MOVEMENTS.index(one) if one in _MOVEMENTS else -1)


def _rounds(ahead: Ahead, kind: str, fewest: Mapping[str, int]) -> tuple[_Option, ...]:
    ranges = {}
    for block in ahead.state.session.blocks:
        planned = ahead.last_round(block.id)
        if block.kind == kind and planned:
            least = max(ahead.rounds_begun(block.id), fewest.get(block.id, 1))
            ranges[block.id] = (min(least, planned), planned)
    return tuple(_with_rounds(way) for way in _ways_to_keep(ranges))


def _ways_to_keep(ranges: Mapping[str, tuple[int, int]]) -> list[dict[str, int]]:
    """Every way to keep rounds, best first: most in all, then most even, then more in the earlier block.

    A fit buys rounds in turns. A re-fit may keep a round of one block alone, because time is running.
    """
    ways = product(*(range(low, high + 1) for low, high in ranges.values()))
    lows = [low for low, _ in ranges.values()]

    def worth(way: tuple[int, ...]) -> tuple[object, ...]:
        above = [rounds - low for rounds, low in zip(way, lows, strict=True)]
        return (-sum(way), max(above, default=0) - min(above, default=0), tuple(-rounds for rounds in way))

    return [dict(zip(ranges, way, strict=True)) for way in sorted(ways, key=worth)]


def _with_rounds(kept: Mapping[str, int]) -> _Option:
    return lambda cut: replace(cut, rounds={**cut.rounds, **kept})


def _cool_down(ahead: Ahead) -> tuple[_Option, ...]:
    """Shortens a cool-down that has not begun, in the coach's steps."""
    lengths = {
        block: to_s
        for block, to_s in ahead.state.session.leeway.cool_down_s.items()
        if to_s and ahead.current.block != block and any(s.block == block for s in ahead.later)
    }
    steps = sorted({to_s for each in lengths.values() for to_s in each}, reverse=True)
    shorter = ({block: _at_most(to_s, each) for block, each in lengths.items()} for to_s in steps)
    return (lambda cut: cut, *(_with_cool_down(one) for one in shorter))


def _at_most(to_s: int, lengths: tuple[int, ...]) -> int:
    """The longest of the lengths up to ``to_s``, else the shortest of all."""
    return max((one for one in lengths if one <= to_s), default=min(lengths))


def _with_cool_down(lengths: Mapping[str, int]) -> _Option:
    return lambda cut: replace(cut, cool_down_s=lengths)


def _fewer(ahead: Ahead, which: OnTheRun) -> tuple[_Option, ...]:
    """Leaves out one interval of such movements after the other, beginning with the last round."""
    most = len(_intervals_to_leave(ahead, which, {}))
    return tuple(_with_less(which, less) for less in range(most + 1))


def _with_less(which: OnTheRun, less: int) -> _Option:
    return lambda cut: replace(cut, less={**cut.less, which: less})


_Interval = tuple[str, int, int]
"""A block, a round of it, and a place in the round."""


def _intervals_to_leave(ahead: Ahead, which: OnTheRun, rounds: Mapping[str, int]) -> tuple[_Interval, ...]:
    """The intervals to come of the optional movements, or of those that the coach lets go, in the rounds that
    are kept and in order of time; the round that has begun is one of them."""
    leeway = ahead.state.session.leeway
    may_go = leeway.optional if which is OnTheRun.optional_movements else leeway.let_go
    coming = (
        (s.block, s.round or 0, s.place or 0)
        for s in ahead.later
        if s.kind not in BETWEEN and s.place in may_go.get(s.block, ())
    )
    return tuple(one for one in dict.fromkeys(coming) if one[1] <= rounds.get(one[0], one[1]))


def _left_out(ahead: Ahead, cut: _Cut) -> tuple[_Interval, ...]:
    """The intervals that are left out, the last ones of the rounds that are kept; one between two places
    of one movement stays."""
    running = _running_order(ahead, cut.rounds)
    left_out: list[_Interval] = []
    for which, less in cut.less.items():
        most = len(left_out) + less
        for one in reversed(_intervals_to_leave(ahead, which, cut.rounds)):
            if len(left_out) < most and not _keeps_apart(one, running, left_out):
                left_out.append(one)
    return tuple(left_out)


def _running_order(ahead: Ahead, rounds: Mapping[str, int]) -> dict[_Interval, str | None]:
    """The movement of each work interval that is kept, in order of time, from the current or the last one
    on."""
    return {
        (s.block, s.round or 0, s.place or 0): s.movement
        for s in (ahead.state.in_hand or ahead.current, *ahead.later)
        if s.kind is Kind.work and (s.round or 0) <= rounds.get(s.block, s.round or 0)
    }


def _keeps_apart(
    one: _Interval, running: Mapping[_Interval, str | None], left_out: Collection[_Interval]
) -> bool:
    """Whether an interval stands between two places of one movement."""
    order = [other for other in running if other[0] == one[0] and (other == one or other not in left_out)]
    at = order.index(one) if one in order else 0
    around = order[max(0, at - 1) : at] + order[at + 1 : at + 2]
    if len(around) < 2 or around[0][2] == around[1][2]:
        return False
    return running[around[0]] == running[around[1]]


def _later_cut(ahead: Ahead, cut: _Cut) -> Segments:
    """The segments after the current interval, cut."""
    left_out = frozenset(_left_out(ahead, cut))

    def leaves(segment: Segment) -> bool:
        over = (segment.round or 0) > cut.rounds.get(segment.block, segment.round or 0)
        return over or (segment.block, segment.round or 0, segment.place or 0) in left_out

    kept = without(ahead.last_of_interval, ahead.later, leaves)
    for block, to_s in cut.cool_down_s.items():
        kept = _scaled(kept, block, ms(to_s))
    return kept


def _scaled(segments: Segments, block: str, to_ms: int) -> Segments:
    """The segments with one cool-down shortened to ``to_ms``, every part in proportion, so that the sides of
    a movement stay alike."""
    planned_ms = sum(s.planned_ms for s in segments if s.block == block and s.kind is Kind.cool_down)
    return tuple(
        s.model_copy(update={"planned_ms": min(s.planned_ms, s.planned_ms * to_ms // planned_ms)})
        if s.block == block and s.kind is Kind.cool_down
        else s
        for s in segments
    )


def _given_up(ahead: Ahead, cut: _Cut) -> Iterator[Message]:
    """What is given up, each as a phrase."""
    if fewer := _rounds_given_up(ahead, cut, "work"):
        yield message("rounds_dropped", rounds=Count(count=fewer))
    if fewer := _rounds_given_up(ahead, cut, "warm_up"):
        yield message("warm_up_rounds_dropped", rounds=Count(count=fewer))
    yield from _movements_given_up(ahead, cut)
    if cut.cool_down_s:
        lengths = listed(Seconds(seconds=to_s) for to_s in sorted(cut.cool_down_s.values()))
        yield message("cool_down_cut_to", length=lengths)


def _movements_given_up(ahead: Ahead, cut: _Cut) -> Iterator[Message]:
    """“Left out of the last round: Row”, for each movement."""
    session = ahead.state.session
    where = {(s.block, s.round or 0, s.place or 0): s for s in ahead.later if s.kind not in BETWEEN}
    going = [where[interval] for interval in sorted(_left_out(ahead, cut), key=list(where).index)]
    for (block, place), first in {(s.block, s.place): s for s in reversed(going)}.items():
        rounds = sum((s.block, s.place) == (block, place) for s in going)
        for name in _name_in_round(session, first):
            yield message("left_out_of_last_rounds", movement=name, rounds=Count(count=rounds))


def _name_in_round(session: FittedSession, segment: Segment) -> Iterator[Argument]:
    """“Row”; “Row, no. 2” where it comes several times in a round."""
    chosen, turn = session.chosen(segment), session.turn(segment.block, segment.place, segment.movement)
    if chosen is None:
        return
    name = chosen_term(chosen)
    yield name if turn is None else message("movement_in_turn", movement=name, turn=Count(count=turn))


def _rounds_given_up(ahead: Ahead, cut: _Cut, kind: str) -> int:
    return sum(
        ahead.last_round(block.id) - cut.rounds[block.id]
        for block in ahead.state.session.blocks
        if block.kind == kind and block.id in cut.rounds
    )
