"""What was really done in a session, set by set.

A record never changes: corrections and late answers are amendments beside it (``engine.record.amendment``).
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from engine.base.model import Model, Slug
from engine.base.units import Grams
from engine.live.events import Ending
from engine.live.state import Change, Done, LostPosition, Outcome
from engine.movements.movement import MovementPattern, Side
from engine.movements.pain import PainNote
from engine.movements.tempo import Tempo
from engine.session.fitted import FittedSession
from engine.session.segment import Segment

Effort = Annotated[float, Field(ge=0, le=10, multiple_of=0.5)]
Note = Annotated[str, Field(max_length=2_000)]


class LimitedBy(StrEnum):
    """What ended a set or made it hard."""

    muscle = "muscle"
    grip = "grip"
    breath = "breath"
    balance = "balance"
    position = "position"
    joint = "joint"


class SetAnswer(Model):
    """What the person says about one set; None where they did not say."""

    load_g: Grams | None = None
    repetitions: Annotated[int, Field(ge=0, le=500)] | None = None
    held_s: Annotated[int, Field(ge=0, le=3_600)] | None = None
    """Seconds in position; only a hold has them, and it has no repetitions."""
    effort: Effort | None = None
    form_held: bool = True
    range_kept: bool = True
    limited_by: LimitedBy | None = None
    easier_variant: bool = False
    """Whether the set was done in an easier variant than planned."""


class SetDone(SetAnswer):
    """One work interval on one side (or on both at once), as it was done.

    ``place`` is that in the round: see ``Segment``. ``load_g`` is the weight of one dumbbell, ``dumbbells``
    how many were lifted; with ``alternates`` the sides take turns. ``planned_repetitions`` is what the tempo
    predicts for the time worked, None where it predicts nothing.
    """

    block: Slug
    round: int
    place: int
    movement: Slug
    variant: Slug
    pattern: MovementPattern
    also: tuple[MovementPattern, ...] = ()
    accessory: bool = False
    side: Side
    dumbbells: int
    is_hold: bool = False
    alternates: bool = False
    tempo: Tempo | None = None
    planned_ms: int
    worked_ms: int
    outcome: Outcome
    planned_repetitions: int | None = None

    @property
    def answer(self) -> SetAnswer:
        """What the person said about it."""
        return SetAnswer.model_validate(self.model_dump(include=set(SetAnswer.model_fields)))

    @property
    def key(self) -> str:
        return set_key(self.block, self.round, self.place, self.movement, self.side)


def set_key(block: str, number: int, place: int, movement: str, side: Side) -> str:
    """The name of a set within its session; ``number`` is the round, counted from 1 as the ``place`` is."""
    return f"{block}:{number}:{place}:{movement}:{side}"


class LogAnswers(Model):
    """The quick log. ``exceptions``, by set key, are what the person says of one set."""

    exceptions: dict[str, SetAnswer] = {}
    effort: Effort | None = None
    """Effort of the whole session, 0–10: another scale than the effort of a set."""
    note: Note = ""


class Record(Model):
    """One session as it happened. ``local_date`` is the date where and when it started.

    The segments of ``session`` are those that were run, re-fits included; its blocks keep the rounds planned
    at the start. ``active_ms`` is the time worked without pauses, ``paused_ms`` the time paused, ``away_ms``
    the time in which the process was gone.
    """

    format: Literal["session-record"] = "session-record"
    version: Literal[1] = 1
    id: str
    trainee_id: str
    plan_id: Slug
    plan_revision: str
    session: FittedSession
    started_at: AwareDatetime
    ended_at: AwareDatetime
    zone: str
    utc_offset_min: int
    local_date: date
    ending: Ending
    active_ms: int
    paused_ms: int
    away_ms: int = 0
    done: tuple[Done, ...]
    taken_out: tuple[Segment, ...] = ()
    """Segments that were begun before a re-fit took them out of ``session``."""
    changes: tuple[Change, ...] = ()
    sets: tuple[SetDone, ...]
    pains: tuple[PainNote, ...] = ()
    lost: tuple[LostPosition, ...] = ()
    effort: Effort | None = None
    note: Note = ""

    @property
    def by_id(self) -> dict[str, Segment]:
        """Every segment that was begun or was planned when the session ended."""
        return {segment.id: segment for segment in (*self.taken_out, *self.session.segments)}
