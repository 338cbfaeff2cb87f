"""Pain of a joint at one moment, whoever told it: a session's note, a note without a session, the morning
after."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from enum import StrEnum

from pydantic import AwareDatetime

from engine.base.model import Model, Rating
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import counts_as_joint, is_pain, rating_to_spare
from engine.record.record import Record


class ToldIn(StrEnum):
    """Where pain of a joint was told: in a session, in a note without one, or on the morning after."""

    session = "session"
    note = "note"
    morning = "morning"


class JointPain(Model):
    """What was told of a joint at a moment, which carries the local offset.

    ``rating`` is the pain that it asks to be spared for, 0 where nothing hurt. ``sign`` says that the pain
    was sharp or sudden, or that the joint locked, gave way or tingled.
    """

    at: AwareDatetime
    joint: Joint
    side: Side | None = None
    rating: Rating
    sign: bool = False
    told_in: ToldIn = ToldIn.session

    def is_of(self, point: JointPoint) -> bool:
        """Whether it tells of a joint point; where no side was told it tells of both."""
        joint, side = point
        return self.joint is joint and (self.side is None or side is None or self.side is side)


def joint_pains(record: Record) -> Iterator[JointPain]:
    """What the pain notes of a session tell of joints."""
    for note in record.pains:
        if counts_as_joint(note) and note.joint is not None:
            yield JointPain(
                at=record.started_at + timedelta(milliseconds=note.session_ms),
                joint=note.joint,
                side=note.side,
                rating=rating_to_spare(note) if is_pain(note) else 0,
                sign=bool(note.qualities),
            )
