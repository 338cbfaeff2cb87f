"""What was said about today, and what of it still counts at a moment.

It ends with the day, and for a joint with any later note of its pain. A session that was saved ends what was
said to be free of pain before it, never pain. Pain that left movements out of a session, or
left no session, counts for the whole day.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from engine.base.local_day import day_is_over
from engine.base.model import Model, Rating
from engine.growth.illness import Illness, still_known, with_illness
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import END_FROM, SWAP_FROM
from engine.movements.room import SoreJoint
from engine.record.joint_pain import JointPain, ToldIn

LASTS_FROM = {ToldIn.session: SWAP_FROM, ToldIn.note: END_FROM}
"""From this number on pain counts for the whole day: in a session it left movements out, in a note it left no
session. † Our judgement, no source."""
MOST_POINTS = 20
"""More than there are joint points."""


class JointSaid(Model):
    """Today's number of one joint point, 0 to 10. ``said_at`` carries the local offset."""

    joint: Joint
    side: Side | None = None
    rating: Rating
    said_at: AwareDatetime

    @property
    def point(self) -> JointPoint:
        return self.joint, self.side


class SaidToday(Model):
    """What a person said about one day, last at ``said_at``, which carries the local offset."""

    format: Literal["today"] = "today"
    version: Literal[1] = 1
    local_date: date
    pains: Annotated[tuple[JointSaid, ...], Field(max_length=MOST_POINTS)] = ()
    sore_muscles: Rating = 0
    pressure_high: bool | None = None
    """Whether the blood pressure is too high for a session; None where nobody said."""
    illness: Illness | None = None
    """This lasts longer than the day: until two easy sessions are done."""
    said_at: AwareDatetime


@dataclass(frozen=True)
class SaidStill:
    """What counts of it at a moment.

    ``sore`` are the joints that hurt, ``rated`` the joint points whose number of today was said, 0 too.
    ``spared`` are those with a sign of injury today: whatever was said later, they count as 3 at least.
    """

    sore: tuple[SoreJoint, ...] = ()
    rated: frozenset[JointPoint] = frozenset()
    spared: tuple[JointPoint, ...] = ()
    sore_muscles: int = 0
    pressure_high: bool | None = None


def with_joint(said: SaidToday | None, point: JointPoint, rating: int, now: datetime) -> SaidToday:
    """What was said, with another number for a joint point. ``now`` carries the local offset."""
    kept = tuple(one for one in said.pains if one.point != point) if said else ()
    new = JointSaid(joint=point[0], side=point[1], rating=rating, said_at=now)
    return _said_again(said, now, pains=(*kept, new))


def with_sore_muscles(said: SaidToday | None, rating: int, now: datetime) -> SaidToday:
    """What was said, with another number for sore muscles. ``now`` carries the local offset."""
    return _said_again(said, now, sore_muscles=rating)


def with_pressure(said: SaidToday | None, high: bool | None, now: datetime) -> SaidToday:
    """What was said, with whether the blood pressure is too high for a session; None takes it back."""
    return _said_again(said, now, pressure_high=high)


def with_illness_said(said: SaidToday | None, ill: bool, now: datetime) -> SaidToday:
    """What was said, with the answer to “Fever, chest infection, vomiting?”."""
    return _said_again(said, now, illness=with_illness(said.illness if said else None, ill, now))


def _said_again(said: SaidToday | None, now: datetime, **changes: object) -> SaidToday:
    """What was said, with changes. What is about neither a joint nor an illness is kept while its day
    lasts."""
    kept: dict[str, object] = {"pains": said.pains, "illness": said.illness} if said else {}
    if said and not day_is_over(said.said_at, now):
        kept |= {"sore_muscles": said.sore_muscles, "pressure_high": said.pressure_high}
    return SaidToday.model_validate(kept | changes | {"local_date": now.date(), "said_at": now})


def still_counts(
    said: SaidToday | None,
    pains: Iterable[JointPain],
    now: datetime,
    *,
    last_started: datetime | None = None,
) -> SaidStill:
    """What counts now of what was said about today.

    ``pains`` are what notes and mornings told of joints, ``last_started`` is when the last session started
    that was saved. ``now`` carries the local offset.
    """
    told = tuple(pains)
    today = tuple(one for one in told if not day_is_over(one.at, now))
    counting = {one.point: one for one in _answers(said, told, last_started, now)}
    points = dict.fromkeys((*counting, *((one.joint, one.side) for one in today)))
    spared = tuple(point for point in points if any(one.sign for one in today if one.is_of(point)))
    ratings = {point: _rating(point, counting.get(point), today) for point in points}
    ratings |= {point: max(ratings[point], SWAP_FROM) for point in spared}
    ratings |= {point: max(rating, _hurt_today(point, today, now)) for point, rating in ratings.items()}
    return SaidStill(
        sore=tuple(SoreJoint(joint=j, side=s, rating=rating) for (j, s), rating in ratings.items() if rating),
        rated=frozenset(counting),
        spared=spared,
        sore_muscles=said.sore_muscles if said and not day_is_over(said.said_at, now) else 0,
        pressure_high=said.pressure_high if said and not day_is_over(said.said_at, now) else None,
    )


def pruned(
    said: SaidToday,
    pains: Collection[JointPain],
    now: datetime,
    *,
    last_started: datetime | None = None,
    started: Collection[datetime] = (),
) -> SaidToday:
    """Only what still counts, to be stored: what has ended never comes back, whatever is erased later.

    ``started`` are the starts of the sessions that were saved.
    """
    over = day_is_over(said.said_at, now)
    return said.model_copy(
        update={
            "pains": tuple(_answers(said, pains, last_started, now)),
            "sore_muscles": 0 if over else said.sore_muscles,
            "pressure_high": None if over else said.pressure_high,
            "illness": still_known(said.illness, started, now),
        }
    )


def _answers(
    said: SaidToday | None, pains: Collection[JointPain], last_started: datetime | None, now: datetime
) -> list[JointSaid]:
    """The answers that still count, in the order in which they were given."""
    return [
        one
        for one in (said.pains if said else ())
        if not day_is_over(one.said_at, now)
        and not any(pain.is_of(one.point) and one.said_at < pain.at <= now for pain in pains)
        and (one.rating or _is_of_now(one, last_started, now))
    ]


def _is_of_now(one: JointSaid, last_started: datetime | None, now: datetime) -> bool:
    """Whether “free of pain” still holds: no session was saved since, and no clock was set back since."""
    return one.said_at <= now and (last_started is None or one.said_at > last_started)


def _hurt_today(point: JointPoint, today: Iterable[JointPain], now: datetime) -> int:
    """The worst pain of a joint point that counts until the day is over, whatever is said later; else 0.

    Pain from after ``now`` was told before the clock was set back: it and what is said now both count.
    """
    lasting = (one for one in today if one.is_of(point) and (_lasts(one) or one.at > now))
    return max((one.rating for one in lasting), default=0)


def _lasts(pain: JointPain) -> bool:
    return pain.rating >= LASTS_FROM.get(pain.told_in, pain.rating + 1)


def _rating(point: JointPoint, answer: JointSaid | None, today: Iterable[JointPain]) -> int:
    """Today's pain of a joint point: the answer, which is no earlier than any pain, else the worst pain."""
    if answer is not None:
        return answer.rating
    return max((one.rating for one in today if one.is_of(point)), default=0)
