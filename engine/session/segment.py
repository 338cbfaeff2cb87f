"""The parts a fitted session is made of: segments, chosen movements, and the choices behind them."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from itertools import accumulate
from typing import Any

from pydantic import SerializerFunctionWrapHandler, model_serializer

from engine.base.model import Model, Slug
from engine.movements.movement import Changing, Held, MovementPattern, Side, Sides, StartsWith
from engine.plan.plan import PracticeForm
from engine.session.pace import PersonalPace

TO_THE_FLOOR_S = 10
"""From standing to the floor or back. † Our judgement, no source."""


class Kind(StrEnum):
    get_ready = "get_ready"
    warm_up = "warm_up"
    practice = "practice"
    work = "work"
    side_change = "side_change"
    rest = "rest"
    transition = "transition"
    cool_down = "cool_down"


BETWEEN = frozenset({Kind.get_ready, Kind.rest, Kind.transition})
"""What stands between intervals; its movement, where it has one, is the one to come."""
WITH_SIDES = frozenset({Kind.work, Kind.practice, Kind.cool_down})
"""What a side works in."""
_SIDES_AND_CHANGE = frozenset({Kind.work, Kind.practice, Kind.side_change})


class Pace(StrEnum):
    clock = "clock"
    self = "self"


class Segment(Model):
    """One stretch of the session. ``block`` of a transition is the block it leads to; ``round`` counts from
    1."""

    id: str
    block: Slug
    round: int | None = None
    movement: Slug | None = None
    form: Slug | None = None
    side: Side | None = None
    kind: Kind
    pace: Pace
    planned_ms: int


def segment_id(block: str, round: int | None, movement: str | None, side: Side | None, kind: Kind) -> str:
    """What names a segment within its session."""
    return ":".join(str(part) for part in (block, round, movement, side, kind) if part is not None)


def are_one_interval(one: Segment, other: Segment) -> bool:
    """Whether two segments that follow each other are the sides of one interval, or the change between."""
    alike = (one.block, one.round, one.movement) == (other.block, other.round, other.movement)
    return alike and {one.kind, other.kind} <= _SIDES_AND_CHANGE


class Chosen(Model):
    """A movement of the session as this person does it, with all that the screens say about it."""

    movement: Slug
    name: str
    form: Slug
    form_name: str
    sides: Sides
    changes: Changing | None = None
    held: Held
    dumbbells: int
    pattern: MovementPattern
    also: tuple[MovementPattern, ...] = ()
    accessory: bool = False
    starts_with: StartsWith
    on_floor: bool
    supine: bool = False
    prone: bool = False
    hands_bear: bool = False
    grip_heavy: bool
    cues: tuple[str, ...]
    end_point: str
    placing: str | None = None
    stop_rules: tuple[str, ...] = ()
    easier: Slug | None = None
    instead_of: Slug | None = None


class Choices(Model):
    """Everything the fit decides. Seconds; blocks by id; movements by the slug the plan names.

    ``rest_s`` and ``work_s`` hold the lengths a block was brought down to; absent means as the plan says.
    ``without_optional`` holds the optional movements that were given up, each as ``block:movement``.
    ``hand_inside`` and ``leg_inside`` name the blocks whose change of sides was given up: it comes out of the
    interval's middle.
    """

    rounds: dict[Slug, int]
    practice: dict[Slug, PracticeForm] = {}
    hand_inside: tuple[Slug, ...] = ()
    leg_inside: tuple[Slug, ...] = ()
    rest_s: dict[Slug, int] = {}
    work_s: dict[Slug, int] = {}
    cool_down_s: dict[Slug, int] = {}
    without_optional: tuple[str, ...] = ()
    first_side: Side = Side.left
    to_floor_s: int = TO_THE_FLOOR_S
    pace: PersonalPace = PersonalPace()

    @model_serializer(mode="wrap")
    def _without_the_stated_pace(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """Who has no pace of their own yet gets the document, and so the id, that a plan alone gives."""
        written: dict[str, Any] = write(self)
        if self.pace == PersonalPace():
            del written["pace"]
        return written


def total_ms(segments: Iterable[Segment]) -> int:
    return sum(segment.planned_ms for segment in segments)


def starts_ms(segments: Iterable[Segment]) -> tuple[int, ...]:
    """The moment at which each segment starts, and after them the one at which the session ends."""
    return tuple(accumulate((segment.planned_ms for segment in segments), initial=0))


def both_sides(first: Side) -> tuple[Side, Side]:
    """The side that starts, and the other."""
    return (Side.right, Side.left) if first is Side.right else (Side.left, Side.right)
