"""The rest of a running session fitted again, so that a promised finish holds.

It runs only when the person acts: on resuming, on a ticked item, on a choice. It never undoes what was done,
never touches the interval that is on, and never shortens a rest: it takes out rounds and movements to come,
and trims a cool-down not yet begun. Its result is stored and never computed again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import product

from engine.base.phrases import number_of
from engine.base.units import format_duration, ms
from engine.live.remainder import Refit, Segments, Stands, without
from engine.live.state import RunState
from engine.live.timing import remaining_at, remaining_session_at
from engine.session.leeway import OnTheRun
from engine.session.segment import Kind, Segment, total_ms

LATE_FROM_MS = 60_000
"""A finish is kept while it is missed by less than a minute. † Our judgement, no source."""

KEPT = "Everything is kept; the finish is later."


@dataclass(frozen=True)
class _Cut:
    """What is kept of the blocks to come."""

    rounds: Mapping[str, int] = field(default_factory=dict)
    dropped: frozenset[tuple[str, str]] = frozenset()
    cool_down_s: Mapping[str, int] = field(default_factory=dict)


_Step = Callable[[_Cut], _Cut]


def is_late(state: RunState, left_ms: int) -> bool:
    """Whether a finish ``left_ms`` from now would be missed as things stand."""
    return remaining_session_at(state, state.at_ms) > left_ms + LATE_FROM_MS


def hold_finish(state: RunState, left_ms: int) -> Refit | None:
    """The best remainder that ends within ``left_ms`` (ms from now), by the plan's own order of worth.

    None where the finish is kept as it is (see ``LATE_FROM_MS``), or where nothing that may be given up would
    keep it; then it can only be moved.
    """
    if state.current is None or not is_late(state, left_ms):
        return None
    stands = Stands(state, state.current)
    behind_ms = left_ms - remaining_at(state, state.at_ms) - total_ms(stands.rest_of_interval)
    leeway = state.session.leeway
    cut = _best(stands, _decisions(stands, fewest=leeway.fewest_rounds), behind_ms)
    if cut is None and leeway.below_minimum:
        cut = _best(stands, _decisions(stands, fewest={}), behind_ms)
    if cut is None:
        return None
    segments = _after(stands, cut)
    return Refit(segments=(*stands.rest_of_interval, *segments), said=_said(stands, cut, segments))


def keep_everything(state: RunState) -> Refit | None:
    """What the last re-fit for the finish gave up, taken back; None where there is nothing to take back.

    Whoever takes it back promises a later finish.
    """
    ids = [segment.id for segment in state.before_refit]
    if state.current is None or state.current.id not in ids:
        return None
    behind = state.before_refit[ids.index(state.current.id) + 1 :]
    return None if behind == state.coming else Refit(segments=behind, said=KEPT)


def end_with_both_sides(state: RunState) -> Refit | None:
    """Ends after the interval that is on, so that the other side gets the same; None where no side is to
    come."""
    rest = state.segments[state.index + 1 : state.interval_end] if state.current is not None else ()
    return Refit(segments=rest, said="Both sides, then the end.") if rest else None


def _best(stands: Stands, decisions: list[tuple[_Step, ...]], budget_ms: int) -> _Cut | None:
    """The lexicographic optimum: each decision its best value for which the rest can still be made to fit."""
    cut = _Cut()
    for index, values in enumerate(decisions):
        for value in values:
            shortest = value(cut)
            for later in decisions[index + 1 :]:
                shortest = later[-1](shortest)
            if total_ms(_after(stands, shortest)) <= budget_ms:
                cut = value(cut)
                break
        else:
            return None
    return cut


def _decisions(stands: Stands, *, fewest: Mapping[str, int]) -> list[tuple[_Step, ...]]:
    """What is decided, the most worthy first, each with its values from the best to the shortest."""
    by_kind: dict[OnTheRun, Callable[[], tuple[_Step, ...]]] = {
        OnTheRun.rounds: lambda: _rounds(stands, "work", fewest),
        OnTheRun.warm_up: lambda: _rounds(stands, "warm_up", fewest),
        OnTheRun.cool_down: lambda: _cool_down(stands),
        OnTheRun.optional_movements: lambda: _optional(stands),
    }
    return [by_kind[one]() for one in stands.state.session.leeway.worth]


def _rounds(stands: Stands, kind: str, fewest: Mapping[str, int]) -> tuple[_Step, ...]:
    ranges = {}
    for block in stands.state.session.blocks:
        planned = stands.rounds_to_come(block.id)
        if block.kind == kind and planned:
            least = max(stands.rounds_begun(block.id), fewest.get(block.id, 1))
            ranges[block.id] = (min(least, planned), planned)
    return tuple(_with_rounds(way) for way in _ways_to_keep(ranges))


def _ways_to_keep(ranges: Mapping[str, tuple[int, int]]) -> list[dict[str, int]]:
    """Every way to keep rounds, best first: most in all, then most even, then the earlier block's.

    Unlike a fit, which has rounds bought in turns, it may keep a round of one block alone: here time runs.
    """
    ways = product(*(range(low, high + 1) for low, high in ranges.values()))
    lows = [low for low, _ in ranges.values()]

    def worth(way: tuple[int, ...]) -> tuple[object, ...]:
        above = [rounds - low for rounds, low in zip(way, lows, strict=True)]
        return (-sum(way), max(above, default=0) - min(above, default=0), tuple(-rounds for rounds in way))

    return [dict(zip(ranges, way, strict=True)) for way in sorted(ways, key=worth)]


def _with_rounds(vector: Mapping[str, int]) -> _Step:
    return lambda cut: replace(cut, rounds={**cut.rounds, **vector})


def _cool_down(stands: Stands) -> tuple[_Step, ...]:
    """A cool-down not yet begun, brought down in the coach's steps."""
    lengths = {
        block: to_s
        for block, to_s in stands.state.session.leeway.cool_down_s.items()
        if to_s and stands.on.block != block and any(s.block == block for s in stands.behind)
    }
    steps = sorted({to_s for each in lengths.values() for to_s in each}, reverse=True)
    shorter = ({block: _at_most(to_s, each) for block, each in lengths.items()} for to_s in steps)
    return (lambda cut: cut, *(_with_cool_down(one) for one in shorter))


def _at_most(to_s: int, lengths: tuple[int, ...]) -> int:
    """The longest of the lengths that is no longer, else the shortest there is."""
    return max((one for one in lengths if one <= to_s), default=min(lengths))


def _with_cool_down(lengths: Mapping[str, int]) -> _Step:
    return lambda cut: replace(cut, cool_down_s=lengths)


def _optional(stands: Stands) -> tuple[_Step, ...]:
    session = stands.state.session
    dropped = frozenset(
        (block.id, item.chosen.movement)
        for block in session.blocks
        for item in block.items
        if (item.chosen.instead_of or item.chosen.movement) in session.leeway.optional.get(block.id, ())
    )
    return (lambda cut: cut, lambda cut: replace(cut, dropped=dropped)) if dropped else (lambda cut: cut,)


def _after(stands: Stands, cut: _Cut) -> Segments:
    """What lies behind the interval that is on, cut."""

    def leaves(segment: Segment) -> bool:
        over = (segment.round or 0) > cut.rounds.get(segment.block, segment.round or 0)
        coming_round = (segment.round or 0) > stands.rounds_begun(segment.block)
        return over or (coming_round and (segment.block, segment.movement) in cut.dropped)

    kept = without(stands.last_kept, stands.behind, leaves)
    for block, to_s in cut.cool_down_s.items():
        kept = _scaled(kept, block, ms(to_s))
    return kept


def _scaled(segments: Segments, block: str, to_ms: int) -> Segments:
    """A cool-down in less time, every part in proportion, the sides of one movement alike."""
    planned_ms = sum(s.planned_ms for s in segments if s.block == block and s.kind is Kind.cool_down)
    return tuple(
        s.model_copy(update={"planned_ms": min(s.planned_ms, s.planned_ms * to_ms // planned_ms)})
        if s.block == block and s.kind is Kind.cool_down
        else s
        for s in segments
    )


def _said(stands: Stands, cut: _Cut, segments: Segments) -> str:
    gained_ms = total_ms(stands.behind) - total_ms(segments)
    parts = [
        *_rounds_given_up(stands, cut, "work", ""),
        *_rounds_given_up(stands, cut, "warm_up", " of warm-up"),
    ]
    if cut.dropped:
        parts.append("the optional movement left out")
    if cut.cool_down_s:
        lengths = {format_duration(ms(to_s)) for to_s in cut.cool_down_s.values()}
        parts.append(f"a cool-down of {' and '.join(sorted(lengths))}")
    said = ", ".join(parts)
    return f"{said[:1].upper()}{said[1:]}: {format_duration(gained_ms)} less, so that the finish holds."


def _rounds_given_up(stands: Stands, cut: _Cut, kind: str, what: str) -> Iterator[str]:
    fewer = sum(
        stands.rounds_to_come(block.id) - cut.rounds[block.id]
        for block in stands.state.session.blocks
        if block.kind == kind and block.id in cut.rounds
    )
    if fewer:
        yield f"{number_of(fewer, 'round')}{what} less"
