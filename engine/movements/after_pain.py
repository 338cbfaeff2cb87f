"""Movements on hold after joint pain, and the way back.

The way back, in this order: nothing hurts today; practice without a weight, with no pain; no pain the next
morning; then work again, at half the load or less and then three quarters (``engine.load``). † Our judgement,
no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from enum import StrEnum

from pydantic import AwareDatetime

from engine.base.model import Model, Rating, Slug
from engine.movements.movement import Joint, Side
from engine.movements.pain import SWAP_FROM
from engine.movements.room import Room, SoreJoint

RETURNS = 2
"""Sound sessions after which a hold is over. † Our judgement, no source."""
CLINICIAN_DAYS = 14
CLINICIAN_TIMES = 2
"""Held so long or so often: a health professional should look at it. † Our judgement, no source."""

JointPoint = tuple[Joint, Side | None]


class Flagged(Model):
    """Joint pain that put a movement on hold."""

    at: AwareDatetime
    local_date: date
    record_id: str
    movement: Slug
    name: str
    joint: Joint
    side: Side | None = None


class Tried(Model):
    """A movement practised or worked in a session with no pain on it; the next morning, None is not said."""

    at: AwareDatetime
    record_id: str
    movement: Slug
    worked: bool
    next_morning: Rating | None = None


class Stage(StrEnum):
    held = "held"
    """Out of the work; practised without a weight on a day on which the joint is free of pain."""
    returning = "returning"
    """Back in the work at a part of its load."""


class AfterPain(Model):
    """``since`` is the date of the pain that began it, ``times`` how many sessions it hurt in."""

    movement: Slug
    name: str
    joint: Joint
    side: Side | None
    since: date
    times: int
    stage: Stage

    def asks_for_clinician(self, today: date) -> bool:
        return self.times >= CLINICIAN_TIMES or (today - self.since).days >= CLINICIAN_DAYS


def after_pain(flagged: Iterable[Flagged], tried: Iterable[Tried]) -> tuple[AfterPain, ...]:
    """The holds that are not over, by the time they began. The order of the accounts makes no difference."""
    pains = sorted(flagged, key=lambda one: (one.at, one.record_id))
    sound = sorted(tried, key=lambda one: (one.at, one.record_id))
    found = []
    for movement in dict.fromkeys(one.movement for one in pains):
        hold = _hold(
            [one for one in pains if one.movement == movement],
            [one for one in sound if one.movement == movement],
        )
        if hold is not None:
            found.append(hold)
    return tuple(sorted(found, key=lambda hold: (hold.since, hold.movement)))


def _hold(pains: list[Flagged], sound: list[Tried]) -> AfterPain | None:
    """The story of one movement: pain begins or renews a hold, sound returns end it."""
    episode: list[Flagged] = []
    for pain, following in zip(pains, [*pains[1:], None], strict=True):
        episode.append(pain)
        after = [one for one in sound if one.at > pain.at and (following is None or one.at < following.at)]
        if sum(one.worked for one in after) >= RETURNS:
            episode = []
    if not episode:
        return None
    last = episode[-1]
    after = [one for one in sound if one.at > last.at]
    back = any(one.worked or one.next_morning == 0 for one in after)
    return AfterPain(
        movement=last.movement,
        name=last.name,
        joint=last.joint,
        side=last.side,
        since=episode[0].local_date,
        times=len({one.record_id for one in episode}),
        stage=Stage.returning if back else Stage.held,
    )


def room_after_pain(room: Room, current: Iterable[AfterPain], said_today: Collection[JointPoint]) -> Room:
    """The room under the holds. ``said_today`` are the joint points of which today's number was said.

    Until it is said that a joint is free of pain, it counts as 3: a flagged joint changes the next session.
    """
    known = tuple(current)
    rated = {(one.joint, one.side) for one in room.sore}
    unsaid = dict.fromkeys((h.joint, h.side) for h in known if (h.joint, h.side) not in {*said_today, *rated})
    held = [hold for hold in known if hold.stage is Stage.held]
    free = [hold for hold in held if (hold.joint, hold.side) in {*said_today} - rated]
    return room.model_copy(
        update={
            "sore": (*room.sore, *(SoreJoint(joint=j, side=s, rating=SWAP_FROM) for j, s in unsaid)),
            "held": tuple(hold.movement for hold in held),
            "tried": tuple(hold.movement for hold in free),
        }
    )
