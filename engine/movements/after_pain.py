"""Movements that are left out after joint pain, and their way back.

The way back, in this order: nothing hurts today; practice without a weight, with no pain; no pain the next
morning; then work again, at half the load or less and then three quarters (``engine.load``). † Our judgement,
no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date, timedelta
from enum import StrEnum

from pydantic import AwareDatetime, NonNegativeInt

from engine.base.local_day import day_ends
from engine.base.model import Model, Name, Rating, Slug
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import SWAP_FROM
from engine.movements.room import Room, SoreJoint

ASKED_FOR = timedelta(hours=72)
"""How long the morning after is asked about, from the end of the session's day. † Our judgement, no
source."""
SOUND_RETURNS = 2
"""Sessions of work without pain after which a movement is back. † Our judgement, no source."""
CLINICIAN_DAYS = 14
CLINICIAN_TIMES = 2
"""After this many days out, or sessions that hurt, a health professional should look at it. † Our judgement,
no source."""


class MovementPain(Model):
    """Joint pain because of which a movement is left out."""

    at: AwareDatetime
    local_date: date
    record_id: str
    movement: Slug
    name: str
    joint: Joint
    side: Side | None = None


class JointRating(Model):
    """The pain of one joint point, 0 to 10; neck and low back have no side."""

    joint: Joint
    side: Side | None = None
    rating: Rating


class PainFreeTry(Model):
    """A session in which a movement was practised or ``worked`` without pain.

    ``mornings`` is the pain of joints on the morning after, as far as it was told.
    """

    at: AwareDatetime
    record_id: str
    movement: Slug
    worked: bool
    mornings: tuple[JointRating, ...] = ()

    def morning_of(self, point: JointPoint) -> int | None:
        """The pain of a joint point on the morning after; None where it was not told."""
        return next((one.rating for one in self.mornings if (one.joint, one.side) == point), None)


class Stage(StrEnum):
    """How far a movement is on its way back."""

    left_out = "left_out"
    """Out of the work. It may be practised without a weight on a day on which its joint is free of pain."""
    returning = "returning"
    """Back in the work at a part of its load."""


class AfterPain(Model):
    """A movement that is left out or on its way back.

    ``since`` is the date of the first pain, ``times`` the number of sessions in which it hurt.
    """

    movement: Slug
    name: Name
    joint: Joint
    side: Side | None
    since: date
    times: NonNegativeInt
    stage: Stage
    tried_at: AwareDatetime | None = None
    """When it was last tried without pain while the morning after was not told."""

    @property
    def point(self) -> JointPoint:
        return self.joint, self.side

    def asks_for_clinician(self, today: date) -> bool:
        """Whether a health professional should look at it by now."""
        return self.times >= CLINICIAN_TIMES or (today - self.since).days >= CLINICIAN_DAYS


def after_pain(pains: Iterable[MovementPain], tries: Iterable[PainFreeTry]) -> tuple[AfterPain, ...]:
    """What is not fully back yet, by the date of its first pain, whatever the order of the arguments."""
    of_pains = sorted(pains, key=lambda one: (one.at, one.record_id))
    of_tries = sorted(tries, key=lambda one: (one.at, one.record_id))
    stories = (
        _of_one_movement(
            [one for one in of_pains if one.movement == movement],
            [one for one in of_tries if one.movement == movement],
        )
        for movement in dict.fromkeys(one.movement for one in of_pains)
    )
    found = (story for story in stories if story is not None)
    return tuple(sorted(found, key=lambda one: (one.since, one.movement)))


def _of_one_movement(pains: list[MovementPain], tries: list[PainFreeTry]) -> AfterPain | None:
    """Follows one movement through time: pain puts it out or keeps it out, sound returns bring it back."""
    episode: list[MovementPain] = []
    for pain, following in zip(pains, [*pains[1:], None], strict=True):
        episode.append(pain)
        since = [one for one in tries if one.at > pain.at and (following is None or one.at < following.at)]
        if sum(one.worked for one in since) >= SOUND_RETURNS:
            episode = []
    if not episode:
        return None
    last = episode[-1]
    since = [one for one in tries if one.at > last.at]
    point = last.joint, last.side
    is_back = any(one.worked or one.morning_of(point) == 0 for one in since)
    unanswered = [one.at for one in since if one.morning_of(point) is None]
    return AfterPain(
        movement=last.movement,
        name=last.name,
        joint=last.joint,
        side=last.side,
        since=episode[0].local_date,
        times=len({one.record_id for one in episode}),
        stage=Stage.returning if is_back else Stage.left_out,
        tried_at=unanswered[-1] if unanswered and not is_back else None,
    )


def room_after_pain(
    room: Room, current: Iterable[AfterPain], said_today: Collection[JointPoint], today: date | None = None
) -> Room:
    """The room with left-out movements applied.

    ``said_today`` are the joint points for which the person gave a number today. Until a joint is said to be
    free of pain it counts as 3, so that it changes the next session. Once the morning after a try is no
    longer asked about, ``today``'s own 0 stands in for its answer.
    """
    known = tuple(current)
    rated = {(one.joint, one.side) for one in room.sore}
    free = {*said_today} - rated
    unsaid = [one for one in dict.fromkeys(one.point for one in known) if one not in {*said_today, *rated}]
    left_out = [one for one in known if one.stage is Stage.left_out and not _stands_in(one, free, today)]
    waiting = {one.movement for one in left_out if one.point not in free}
    movements = dict.fromkeys(one.movement for one in left_out)
    return room.model_copy(
        update={
            "sore": (*room.sore, *(SoreJoint(joint=j, side=s, rating=SWAP_FROM) for j, s in unsaid)),
            "after_pain": tuple(movements),
            "tried": tuple(movement for movement in movements if movement not in waiting),
        }
    )


def _stands_in(one: AfterPain, free: Collection[JointPoint], today: date | None) -> bool:
    """Whether a joint that is free of pain today answers for a morning that was never told."""
    if one.tried_at is None or today is None or one.point not in free:
        return False
    return today >= (day_ends(one.tried_at) + ASKED_FOR).date()
