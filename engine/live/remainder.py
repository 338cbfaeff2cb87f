"""What is still to come of a session, cut or changed.

Intervals leave or are replaced, and the rests between them close the gap. The current segment is never
touched. No rest gets shorter: where an interval leaves, the longer of the two rests around it stays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from engine.base.message import Message
from engine.base.model import Model
from engine.base.units import ms
from engine.live.events import AddedItem, Said
from engine.live.state import RunState
from engine.movements.movement import Side, Sides
from engine.plan.floors import shortest_rest_s
from engine.session.choices import Chosen
from engine.session.interval import quick_change_ms, work_within_ms
from engine.session.segment import BETWEEN, Kind, Pace, Segment, ahead, both_sides, under_own_id

Segments = tuple[Segment, ...]


class Refit(Model):
    """What replaces every segment after the current one, and what is told of it.

    ``cut`` is what was given up for the finish.
    """

    segments: tuple[Segment, ...]
    items: tuple[AddedItem, ...] = ()
    said: Said
    cut: tuple[Message, ...] = ()


@dataclass(frozen=True)
class Ahead:
    """A run seen from its current segment: the rest of that interval, and what comes later."""

    state: RunState
    current: Segment

    @property
    def rest_of_interval(self) -> Segments:
        return self.state.segments[self.state.index + 1 : self.state.interval.stop]

    @property
    def later(self) -> Segments:
        """Every segment after the current interval."""
        return self.state.segments[self.state.interval.stop :]

    @property
    def last_of_interval(self) -> Segment:
        return (self.current, *self.rest_of_interval)[-1]

    def rounds_begun(self, block: str) -> int:
        """The last round of a block that has begun, 0 where none has."""
        seen = self.state.segments[: self.state.index + 1]
        return max((s.round or 0 for s in seen if s.block == block), default=0)

    def last_round(self, block: str) -> int:
        """The last round of a block after the current interval, 0 where there is none."""
        return max((s.round or 0 for s in self.later if s.block == block), default=0)


def without(last: Segment, coming: Segments, leaves: Callable[[Segment], bool]) -> Segments:
    """The coming segments without the intervals for which ``leaves`` is true. ``last`` is the segment before
    them."""
    kept = [segment for segment in coming if segment.kind in BETWEEN or not leaves(segment)]
    return _closed(last, kept)


def replaced(
    last: Segment, coming: Segments, by: Mapping[tuple[str, str], Chosen], first_side: Side
) -> Segments:
    """The coming segments with some movements replaced; ``by`` maps (block, movement) to the new movement.

    ``last`` is the segment before them.
    """
    changed: list[Segment] = []
    for _, group in groupby(coming, key=lambda s: (s.block, s.round, s.place, s.movement, s.kind in BETWEEN)):
        interval = tuple(group)
        new = by.get((interval[0].block, interval[0].movement or ""))
        if new is None or interval[0].kind in BETWEEN:
            changed.extend(interval)
        else:
            changed.extend(interval_of(interval, new, first_side))
    return _closed(last, changed, {chosen.movement: chosen for chosen in by.values()})


def interval_of(interval: Sequence[Segment], new: Chosen, first_side: Side) -> Iterator[Segment]:
    """An interval given to another movement: the same time in all, or as long as it may be held; equal sides,
    at most one change."""
    head = interval[0]
    worked = [segment for segment in interval if segment.kind is not Kind.side_change]
    change_ms = sum(segment.planned_ms for segment in interval if segment.kind is Kind.side_change)
    work_ms = sum(segment.planned_ms for segment in worked)
    if head.pace is Pace.self:
        one = len(worked) == 1 or new.sides is Sides.none
        yield from [_as(head, new, planned_ms=work_ms, side=None)] if one else (_as(s, new) for s in worked)
    elif new.sides is Sides.none:
        yield _as(head, new, planned_ms=work_within_ms(work_ms, new), side=Side.both)
    else:
        yield from _both_halves(head, new, work_ms, change_ms, first_side)


def _both_halves(
    head: Segment, new: Chosen, work_ms: int, change_ms: int, first_side: Side
) -> Iterator[Segment]:
    """One side, the change, the other side. A change that was not planned takes its time from the work."""
    one, other = both_sides(first_side)
    changes = head.kind in (Kind.work, Kind.practice)
    if changes and not change_ms:
        change_ms = quick_change_ms(new)
        work_ms -= change_ms
    work_ms = work_within_ms(work_ms, new)
    yield _as(head, new, planned_ms=work_ms // 2, side=one)
    if changes:
        yield _as(head, new, planned_ms=change_ms, side=other, kind=Kind.side_change)
    yield _as(head, new, planned_ms=work_ms // 2, side=other)


def _as(segment: Segment, chosen: Chosen, **changes: object) -> Segment:
    """A segment given to another movement, under its own id."""
    made = segment.model_copy(update={"movement": chosen.movement, "variant": chosen.variant, **changes})
    return under_own_id(made)


def _closed(last: Segment, segments: Sequence[Segment], new: Mapping[str, Chosen] | None = None) -> Segments:
    """The segments with every rest and change of block leading to the interval that follows; those that lead
    nowhere leave."""
    kept: list[Segment] = []
    for index, segment in enumerate(segments):
        if segment.kind not in BETWEEN:
            kept.append(segment)
            continue
        following = ahead(segments, index + 1)
        if following is None or following.block != segment.block:
            continue
        led = _leading_to(following, segment, new or {})
        before = kept[-1] if kept else last
        if led.kind is not Kind.rest or before.kind not in BETWEEN:
            kept.append(led)
        elif kept and before.kind is Kind.rest:
            kept[-1] = led.model_copy(update={"planned_ms": max(led.planned_ms, before.planned_ms)})
        elif before.kind is Kind.rest and led.planned_ms > before.planned_ms:
            kept.append(_longer_by(led, before))
    return tuple(kept)


def _leading_to(following: Segment, segment: Segment, new: Mapping[str, Chosen]) -> Segment:
    """A rest or lead-in made to lead to the interval that follows; a rest lasts at least as long as that
    movement needs."""
    led_there = (segment.place, segment.movement) == (following.place, following.movement)
    if segment.kind is Kind.transition or led_there:
        return segment
    chosen = new.get(following.movement or "")
    planned_ms = segment.planned_ms
    if chosen is not None and segment.kind is Kind.rest:
        planned_ms = max(planned_ms, ms(shortest_rest_s(chosen.on_floor)))
    leads_to = {"place": following.place, "movement": following.movement, "variant": following.variant}
    led = segment.model_copy(update={**leads_to, "planned_ms": planned_ms})
    if led.kind is Kind.get_ready:
        return led.model_copy(update={"side": following.side})
    return under_own_id(led)


def _longer_by(rest: Segment, running: Segment) -> Segment:
    """What a rest adds to the rest that is already running."""
    return rest.model_copy(update={"planned_ms": rest.planned_ms - running.planned_ms})
