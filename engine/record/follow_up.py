"""What to ask after a session: the effort again half an hour later, and soreness and pain the next morning.

An effort rated at once is coloured by the last set; muscles are sorest one to three days later, and joints
may answer overnight. Each question is asked once and never urged. Joints are asked
about one by one, those first that hurt before or in the session.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from engine.base.local_day import day_is_over
from engine.base.model import Model
from engine.movements.movement import JointPoint
from engine.record.amendment import AmendedField, Amendment
from engine.record.morning import is_morning_after, joints_to_ask, mornings_of
from engine.record.record import Record

EFFORT_AFTER = timedelta(minutes=30)
"""Ask for session effort half an hour after the end: Foster 2001, JSCR 15:109–115 (from memory)."""
EFFORT_UNTIL = timedelta(hours=24)
"""† Our judgement, no source."""
MORNING_DAYS = 7
"""Muscle soreness is gone in five to seven days: Cleary 2002, J Athl Train 37:32–36."""


class FollowUp(Model):
    """The open questions about one session. ``effort`` is what the person has said so far.

    ``asks_joints`` says whether the morning after is asked about, ``joints`` for which joint points first.
    After ``easy_movement`` nothing else is asked.
    """

    record_id: str
    plan_name: str
    local_date: date
    easy_movement: bool = False
    effort: float | None = None
    asks_effort: bool = False
    asks_soreness: bool = False
    asks_joints: bool = False
    joints: tuple[JointPoint, ...] = ()


def follow_up(
    records: Iterable[Record],
    amendments: Iterable[Amendment],
    now: datetime,
    *,
    watched: Iterable[JointPoint] = (),
) -> FollowUp | None:
    """What to ask about the latest of the records; None where nothing is open.

    On the day of easy movement the session before it is still asked about, so that its morning after is not
    forgotten. ``now`` carries the local offset. ``watched`` are joint points asked about in any case.
    """
    known = sorted(records, key=lambda record: (record.started_at, record.id))
    while known and known[-1].session.easy_movement and not day_is_over(known[-1].ended_at, now):
        del known[-1]
    return _about(known[-1], tuple(amendments), now, tuple(watched)) if known else None


def _about(
    latest: Record, late: tuple[Amendment, ...], now: datetime, watched: tuple[JointPoint, ...]
) -> FollowUp | None:
    """What to ask about one record; None where nothing is open."""
    answered = {one.field for one in late if one.record_id == latest.id}
    told = {(one.joint, one.side) for one in mornings_of(latest, late)}
    easy = latest.session.easy_movement
    since, days = now - latest.ended_at, (now.date() - latest.local_date).days
    asks_effort = not easy and EFFORT_AFTER <= since <= EFFORT_UNTIL and AmendedField.effort not in answered
    asks_soreness = not easy and 1 <= days <= MORNING_DAYS and AmendedField.soreness not in answered
    joints = tuple(point for point in joints_to_ask(latest, watched) if point not in told)
    is_open = bool(joints) or not answered & {AmendedField.next_morning_pain, AmendedField.soreness}
    asks_joints = is_open and is_morning_after(latest.ended_at, now)
    if not (asks_effort or asks_soreness or asks_joints):
        return None
    return FollowUp(
        record_id=latest.id,
        plan_name=latest.session.plan_name,
        local_date=latest.local_date,
        easy_movement=easy,
        effort=latest.effort,
        asks_effort=asks_effort,
        asks_soreness=asks_soreness,
        asks_joints=asks_joints,
        joints=joints if asks_joints else (),
    )
