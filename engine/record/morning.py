"""Joints on the morning after a session: when it is asked about, and what the answer says."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from itertools import chain

from pydantic import AwareDatetime, ValidationError

from engine.base.local_day import day_ends, day_is_over
from engine.base.model import Model, Rating
from engine.movements.after_pain import ASKED_FOR, JointRating
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import SWAP_FROM
from engine.record.amendment import AmendedField, Amendment
from engine.record.joint_pain import joint_pains
from engine.record.record import Record


class JointMorning(Model):
    """The pain of a joint on the morning after a session, told ``at`` a moment.

    ``local_date`` is the date of the session. ``before`` is the pain that the session was fitted for.
    """

    at: AwareDatetime
    record_id: str
    local_date: date
    joint: Joint
    side: Side | None = None
    rating: Rating
    before: Rating = 0

    @property
    def is_worse(self) -> bool:
        """Whether movements that load the joint are left out after it."""
        return self.rating >= SWAP_FROM or self.rating > self.before


def is_morning_after(ended_at: datetime, now: datetime) -> bool:
    """Whether joints are asked about a session that ended. Both carry the local offset."""
    return day_is_over(ended_at, now) and now.replace(tzinfo=None) < day_ends(ended_at) + ASKED_FOR


def mornings_of(record: Record, amendments: Iterable[Amendment]) -> tuple[JointMorning, ...]:
    """The answers of the morning after a session, the latest of each joint; what is none is ignored."""
    before = {(one.joint, one.side): one.rating for one in record.session.room.sore}
    latest: dict[JointPoint, JointMorning] = {}
    for one in sorted(amendments, key=lambda one: (one.at, one.id)):
        if one.record_id == record.id and one.field is AmendedField.next_morning_pain:
            said = rating_in(one)
            if said is not None:
                point = said.joint, said.side
                latest[point] = JointMorning(
                    at=one.at,
                    record_id=record.id,
                    local_date=record.local_date,
                    joint=said.joint,
                    side=said.side,
                    rating=said.rating,
                    before=before.get(point, 0),
                )
    return tuple(latest.values())


def rating_in(amendment: Amendment) -> JointRating | None:
    """What an answer about the next morning says; None where it is no such answer."""
    try:
        return JointRating.model_validate(amendment.value)
    except ValidationError:
        return None


def joints_to_ask(record: Record, watched: Iterable[JointPoint] = ()) -> tuple[JointPoint, ...]:
    """The joint points to ask about on the morning after: those that hurt in the session or before it, and
    those ``watched`` because pain has left movements out."""
    points = chain(
        ((one.joint, one.side) for one in joint_pains(record) if one.rating),
        ((one.joint, one.side) for one in record.session.room.sore),
        watched,
    )
    return tuple(dict.fromkeys(points))
