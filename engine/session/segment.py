"""Segments: the stretches of time that a session is made of, one after the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from enum import StrEnum
from itertools import accumulate

from engine.base.model import Model, Slug
from engine.movements.movement import Side


class Kind(StrEnum):
    """What a segment is for."""

    get_ready = "get_ready"
    warm_up = "warm_up"
    practice = "practice"
    work = "work"
    side_change = "side_change"
    rest = "rest"
    transition = "transition"
    cool_down = "cool_down"


BETWEEN = frozenset({Kind.get_ready, Kind.rest, Kind.transition})
"""What comes between intervals. Its movement, where it has one, is the next."""
WITH_SIDES = frozenset({Kind.work, Kind.practice, Kind.cool_down})
"""What may be done one side at a time."""
_SIDES_AND_CHANGE = frozenset({Kind.work, Kind.practice, Kind.side_change})


class Pace(StrEnum):
    """What ends a segment: the clock, or the person who ticks it off."""

    clock = "clock"
    self = "self"


class Segment(Model):
    """One stretch of a session.

    ``block`` of a transition is the block that it leads to. ``round`` counts from 1. ``place`` is the
    position of the movement in its block as the coach wrote it, counted from 1: what is dropped moves no
    other place, and what stands in keeps it. ``planned_ms`` is an estimate where the person sets the pace.
    """

    id: str
    block: Slug
    round: int | None = None
    place: int | None = None
    movement: Slug | None = None
    variant: Slug | None = None
    side: Side | None = None
    kind: Kind
    pace: Pace
    planned_ms: int


def segment_id(
    block: str, round: int | None, place: int | None, movement: str | None, side: Side | None, kind: Kind
) -> str:
    """The name of a segment, unique within its session."""
    return ":".join(str(part) for part in (block, round, place, movement, side, kind) if part is not None)


def under_own_id(segment: Segment) -> Segment:
    """A segment that was changed, under the name that it has now."""
    own = segment_id(
        segment.block, segment.round, segment.place, segment.movement, segment.side, segment.kind
    )
    return segment.model_copy(update={"id": own})


def ahead(segments: Sequence[Segment], index: int) -> Segment | None:
    """The segment at an index; of a rest, a lead-in or a change of block, the one it leads to."""
    return next((one for one in segments[index:] if one.kind not in BETWEEN), None)


def in_same_place(one: Segment, other: Segment) -> bool:
    """Whether two segments are of one movement in one place of a round."""
    return (one.block, one.round, one.place, one.movement) == (
        other.block,
        other.round,
        other.place,
        other.movement,
    )


def are_one_interval(one: Segment, other: Segment) -> bool:
    """Whether two segments in a row belong to one interval: its sides and the change between them."""
    return in_same_place(one, other) and {one.kind, other.kind} <= _SIDES_AND_CHANGE


def total_ms(segments: Iterable[Segment]) -> int:
    """The planned length of some segments together."""
    return sum(segment.planned_ms for segment in segments)


def starts_ms(segments: Iterable[Segment]) -> tuple[int, ...]:
    """The moment at which each segment starts, and after them the one at which the session ends."""
    return tuple(accumulate((segment.planned_ms for segment in segments), initial=0))


def both_sides(first: Side) -> tuple[Side, Side]:
    """The side that starts, and the other."""
    return (Side.right, Side.left) if first is Side.right else (Side.left, Side.right)
