"""The events of a live session, and the running record that keeps them.

Session time is in milliseconds of the monotonic clock since the start, pauses included; the wall clock never
moves it.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AwareDatetime, ConfigDict, Field, NonNegativeInt, TypeAdapter

from engine.base.message import Message
from engine.base.model import Model, Slug
from engine.movements.pain import PainNote
from engine.session.fitted import FittedItem, FittedSession
from engine.session.segment import Segment

MOST_SAID = 256
"""One for each movement of the longest session, and a few more."""
Said = Annotated[tuple[Message, ...], Field(min_length=1, max_length=MOST_SAID)]
"""What changed, a message for each sentence."""


class Ending(StrEnum):
    """How a session ended: at its planned end, early by choice, or for pain."""

    finished = "finished"
    early = "early"
    pain = "pain"


class _Event(Model):
    """``seq`` counts from 1 without gaps; ``wall`` is the time of writing, with its offset."""

    seq: Annotated[int, Field(ge=1)]
    id: str
    session_ms: NonNegativeInt
    wall: AwareDatetime


class Started(_Event):
    kind: Literal["started"] = "started"


class Mark(_Event):
    """The start of a segment, written down so that a session cut off by a crash can be found where it was."""

    kind: Literal["mark"] = "mark"
    segment_id: str


class Paused(_Event):
    kind: Literal["paused"] = "paused"


class Resumed(_Event):
    kind: Literal["resumed"] = "resumed"


class Returned(_Event):
    """The session was opened again after its process was gone for ``away_ms``; it waits, paused."""

    kind: Literal["returned"] = "returned"
    away_ms: NonNegativeInt


class Ticked(_Event):
    """A self-paced item is done."""

    kind: Literal["ticked"] = "ticked"


class HoldStarted(_Event):
    """The person started the timed hold of a self-paced item."""

    kind: Literal["hold_started"] = "hold_started"


class HoldStopped(_Event):
    """The person left the hold; the time in good position is banked."""

    kind: Literal["hold_stopped"] = "hold_stopped"


class Skipped(_Event):
    """The rest of the current interval is skipped, on both sides."""

    kind: Literal["skipped"] = "skipped"


class WentBack(_Event):
    """Back to the segment before."""

    kind: Literal["went_back"] = "went_back"


class Redone(_Event):
    """The current interval starts again from its first side."""

    kind: Literal["redone"] = "redone"


class MoreRest(_Event):
    """The current rest gets longer."""

    kind: Literal["more_rest"] = "more_rest"
    added_ms: Annotated[int, Field(ge=1_000, le=600_000)]


class FormSlipped(_Event):
    """The position was lost: in the current interval or, in a rest, in the one before."""

    kind: Literal["form_slipped"] = "form_slipped"


class LoadFound(_Event):
    """The load for a movement, found during the session: grams of one weight. Without a ``block`` and a
    ``place`` it is for every place of the movement."""

    kind: Literal["load_found"] = "load_found"
    movement: Slug
    block: Slug | None = None
    place: int | None = None
    load_g: Annotated[int, Field(ge=0, le=1_000_000)]


class Telling(_Event):
    """What was said so far of what hurts, kept after each answer; None once nothing hurts after all."""

    kind: Literal["telling"] = "telling"
    pain: PainNote | None


class Hurt(_Event):
    """Something hurts: the session pauses, and its promised finish is no longer kept."""

    kind: Literal["hurt"] = "hurt"
    pain: PainNote


class TryStarted(_Event):
    """After dull pain in a joint: on without weight, to the end of the side that is tried."""

    kind: Literal["try_started"] = "try_started"


class AddedItem(Model):
    """A movement that a re-fit brought into a block."""

    block: Slug
    item: FittedItem


class Refitted(_Event):
    """The coming segments were fitted again. The event keeps the result, which is never computed again.

    ``segments`` replace those after the current one. ``finish_at`` is a new promised finish, None where the
    promise stays. A re-fit that only gave something up for the finish can be taken back.
    """

    kind: Literal["refitted"] = "refitted"
    segments: tuple[Segment, ...]
    items: tuple[AddedItem, ...] = ()
    said: Said
    finish_at: AwareDatetime | None = None
    can_be_taken_back: bool = False


class Ended(_Event):
    kind: Literal["ended"] = "ended"
    ending: Ending


class Reopened(_Event):
    """An early end is taken back: the session waits, paused, where it was ended."""

    kind: Literal["reopened"] = "reopened"


Event = Annotated[
    Started
    | Mark
    | Paused
    | Resumed
    | Returned
    | Ticked
    | HoldStarted
    | HoldStopped
    | Skipped
    | WentBack
    | Redone
    | MoreRest
    | FormSlipped
    | LoadFound
    | Telling
    | Hurt
    | TryStarted
    | Refitted
    | Ended
    | Reopened,
    Field(discriminator="kind"),
]
EVENTS: TypeAdapter[Event] = TypeAdapter(Event, config=ConfigDict(defer_build=True))


class RunningRecord(Model):
    """The journal of a session in progress: the opening, then every event in order."""

    format: Literal["running-record"] = "running-record"
    version: Literal[1] = 1
    run_id: str
    started_at: AwareDatetime
    zone: str
    finish_at: AwareDatetime
    """The promised finish."""
    session: FittedSession
    events: tuple[Event, ...] = ()
