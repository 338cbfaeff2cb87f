"""The coach's adjustments for one person, applied to the question of the fit and to the rules for loads."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import TypeVar

from engine.base.model import Slug
from engine.fit.asked import Asked
from engine.load.rules import LoadRules
from engine.movements.room import SORE_ALLOWS, Room, SoreJoint
from engine.plan.adjustment import (
    Adjustment,
    LeaveOut,
    MinutesHint,
    NextWeight,
    Remark,
    RoundsLimit,
    SpareJoint,
)
from engine.plan.plan import SessionPlan

SPARED_RATING = SORE_ALLOWS[0][0]
"""A joint that the coach spares counts as rated at this, so that it may take no stress."""
Kind = TypeVar("Kind", SpareJoint, NextWeight, RoundsLimit, MinutesHint, LeaveOut, Remark)


def with_adjustments(
    asked: Asked, plan: SessionPlan, adjustments: Iterable[Adjustment], today: date
) -> Asked:
    """The same question, shaped by the coach's adjustments that are ``in_force`` today.

    The latest limit of rounds counts. What the person asked for stays where it is less.
    """
    known = tuple(adjustments)
    shaped = replace(
        asked,
        room=room_with_adjustments(asked.room, known, today),
        left_out=tuple(dict.fromkeys((*asked.left_out, *left_out_by(known)))),
    )
    limit = next(reversed(_changes(known, RoundsLimit)), None)
    return shaped if limit is None else _with_limit(shaped, limit, plan)


def room_with_adjustments(room: Room, adjustments: Iterable[Adjustment], today: date) -> Room:
    """The room with the joints that the coach spares today."""
    points = dict.fromkeys((one.joint, one.side) for one in _spared(tuple(adjustments), today))
    spared = tuple(
        SoreJoint(joint=joint, side=side, rating=SPARED_RATING)
        for joint, side in points
        if not any((s.joint, s.side) == (joint, side) and s.rating >= SPARED_RATING for s in room.sore)
    )
    return room.model_copy(update={"sore": (*room.sore, *spared)})


def left_out_by(adjustments: Iterable[Adjustment]) -> tuple[Slug, ...]:
    """The movements that the coach leaves out of this person's work."""
    return tuple(dict.fromkeys(one.movement for one in _changes(tuple(adjustments), LeaveOut)))


def _with_limit(asked: Asked, limit: RoundsLimit, plan: SessionPlan) -> Asked:
    """The question with a limit of rounds. An exact number never exceeds what every work block allows."""
    rounds = asked.rounds
    if rounds is None and limit.exact:
        rounds = min(block.rounds.max for block in plan.work_blocks())
    exactly = None if rounds is None else min(rounds, limit.rounds)
    return replace(asked, rounds=exactly, rounds_at_most=limit.rounds)


def rules_with_adjustments(rules: LoadRules, adjustments: Iterable[Adjustment]) -> LoadRules:
    """The rules for loads with what the coach allows."""
    steps = _changes(tuple(adjustments), NextWeight)
    allowed = dict.fromkeys((*rules.allowed, *(step.movement for step in steps)))
    sooner = dict.fromkeys((*rules.sooner, *(step.movement for step in steps if step.after_one)))
    return rules.model_copy(update={"allowed": tuple(allowed), "sooner": tuple(sooner)})


def minutes_hint(adjustments: Iterable[Adjustment]) -> int | None:
    """The minutes that the latest hint names, for the question to start from; None where there is no hint."""
    return next((one.minutes for one in reversed(_changes(tuple(adjustments), MinutesHint))), None)


def _spared(adjustments: tuple[Adjustment, ...], today: date) -> Iterator[SpareJoint]:
    """The joints that the coach still spares today."""
    spared = _changes(adjustments, SpareJoint)
    return (one for one in spared if one.until is None or today <= one.until)


def _changes(adjustments: tuple[Adjustment, ...], kind: type[Kind]) -> list[Kind]:
    return [change for one in adjustments for change in one.changes if isinstance(change, kind)]
