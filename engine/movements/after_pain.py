"""Movements that are left out after joint pain, and their way back.

The way back, in this order: nothing hurts today; practice without a weight, with no pain; no pain the next
morning; then work again, at half the load or less and then three quarters (``engine.load``). † Our judgement,
no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from enum import StrEnum

from pydantic import AwareDatetime

from engine.base.model import Model, Name, Rating, Slug
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import SWAP_FROM
from engine.movements.room import Room, SoreJoint

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


class PainFreeTry(Model):
    """A session in which a movement was practised or ``worked`` without pain.

    ``next_morning`` is the pain of the morning after; None where it was not told.
    """

    at: AwareDatetime
    record_id: str
    movement: Slug
    worked: bool
    next_morning: Rating | None = None


class Stage(StrEnum):
    """How far a movement is on its way back."""

    left_out = "held"
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
    times: int
    stage: Stage

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
    is_back = any(one.worked or one.next_morning == 0 for one in since)
    return AfterPain(
        movement=last.movement,
        name=last.name,
        joint=last.joint,
        side=last.side,
        since=episode[0].local_date,
        times=len({one.record_id for one in episode}),
        stage=Stage.returning if is_back else Stage.left_out,
    )


def room_after_pain(room: Room, current: Iterable[AfterPain], said_today: Collection[JointPoint]) -> Room:
    """The room with left-out movements applied.

    ``said_today`` are the joint points for which the person gave a number today. Until a joint is said to be
    free of pain it counts as 3, so that it changes the next session.
    """
    known = tuple(current)
    rated = {(one.joint, one.side) for one in room.sore}
    points = dict.fromkeys((one.joint, one.side) for one in known)
    unsaid = [point for point in points if point not in {*said_today, *rated}]
    left_out = [one for one in known if one.stage is Stage.left_out]
    to_try = [one for one in left_out if (one.joint, one.side) in {*said_today} - rated]
    return room.model_copy(
        update={
            "sore": (*room.sore, *(SoreJoint(joint=j, side=s, rating=SWAP_FROM) for j, s in unsaid)),
            "held": tuple(one.movement for one in left_out),
            "tried": tuple(one.movement for one in to_try),
        }
    )
