"""A pain note that belongs to no session."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from engine.base.model import Identifier, Model, Rating, Sentence
from engine.movements.movement import Joint, Side
from engine.movements.pain import (
    END_FROM,
    PainKind,
    PainNote,
    PainQuality,
    counts_as_joint,
    is_pain,
    rating_to_spare,
)
from engine.record.joint_pain import JointPain, ToldIn


class NotedPain(Model):
    """What a person noted of their pain outside a session. It never changes.

    ``at`` carries the local offset. None stands for what was not said. The rest is as in ``PainNote``.
    """

    format: Literal["pain-note"] = "pain-note"
    version: Literal[1] = 1
    id: Identifier
    trainee_id: Identifier
    at: AwareDatetime
    local_date: date
    kind: PainKind | None = None
    joint: Joint | None = None
    side: Side | None = None
    rating: Rating | None = None
    qualities: Annotated[tuple[PainQuality, ...], Field(max_length=len(PainQuality))] = ()
    words: Sentence | None = None

    @property
    def note(self) -> PainNote:
        """What it says, as a note of a session says it."""
        said = self.model_dump(include={"kind", "joint", "side", "rating", "qualities", "words"})
        return PainNote(session_ms=0, **said)


def noted_joint_pains(notes: Iterable[NotedPain]) -> Iterator[JointPain]:
    """What pain notes without a session tell of joints."""
    for one in notes:
        note = one.note
        if counts_as_joint(note) and note.joint is not None:
            yield JointPain(
                at=one.at,
                joint=note.joint,
                side=note.side,
                rating=rating_to_spare(note) if is_pain(note) else 0,
                sign=bool(note.qualities),
                told_in=ToldIn.note,
            )


def severe_days(notes: Iterable[NotedPain]) -> tuple[date, ...]:
    """The local dates of notes of a joint at 6 or more."""
    joints = (one for one in notes if counts_as_joint(one.note))
    return tuple(one.local_date for one in joints if one.rating is not None and one.rating >= END_FROM)
