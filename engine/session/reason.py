"""Why a session is not as planned, and what each reason is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from engine.base.message import Argument, Count, Joint, Listed, Message, Seconds, listed, message
from engine.base.model import Model
from engine.movements.limits import Limit
from engine.movements.movement import Equipment, Kit
from engine.movements.own_choice import AFTER_PAIN
from engine.movements.terms import kit_term, limit_term, missing_equipment, missing_kit
from engine.plan.plan import GiveUp

BELOW_MINIMUM, NO_MORE_FOR_PAIN = "below_minimum", "no_more_for_pain"
FOR_TODAY = message("for_today")
"""Stands in for reasons that stay with the person."""


class Reason(Model):
    """One thing that was given up or changed, and the seconds that it gave back.

    ``block`` is the one that it is limited to, counted from 1 in the order of the plan. ``sent`` is what
    others may read in place of ``message``, where that hints at the limits of the day.
    """

    message: Message
    sent: Message | None = None
    block: int | None = None
    seconds: float

    @property
    def code(self) -> str:
        """What sort of reason it is: something to ``GiveUp``, a swap, or how the session came out."""
        return self.message.code

    @property
    def said(self) -> Message:
        """The whole sentence, with the block where it is limited to one."""
        if self.block is None:
            return self.message
        return message("in_block", block=Count(count=self.block), said=self.message)

    @property
    def with_seconds(self) -> Message:
        """The whole sentence and the time that it saves, where it saves any."""
        if not self.seconds:
            return self.said
        return message("saves", said=self.said, saved=Seconds(seconds=self.seconds))


class ReasonGroup(NamedTuple):
    """Reasons that are about one thing."""

    about: Message
    reasons: tuple[Reason, ...]

    @property
    def title(self) -> Message:
        """What they are about, and how many they are."""
        return message("group_of_changes", about=self.about, changes=Count(count=len(self.reasons)))


_TO_SAVE_TIME = frozenset[str](GiveUp)
_OF_KIT_AND_ROOM = frozenset(
    {
        *(kit_term(kit).code for kit in Kit),
        *(missing_kit(kit).code for kit in (Kit.single, Kit.pair)),
        *(missing_equipment(one).code for one in Equipment),
    }
)
_OF_TODAY = frozenset({FOR_TODAY.code, *(limit_term(limit).code for limit in Limit)})


def grouped(reasons: Iterable[Reason]) -> tuple[ReasonGroup, ...]:
    """The reasons by what they are about: pain first, time last. How far a session falls short of the
    minimum of rounds is told apart, and is in no group."""
    told = [one for one in reasons if one.code != BELOW_MINIMUM]
    for_joints = [one for one in told if any(_joints(one.message))]
    if for_joints:
        for_joints += [one for one in told if one.code == NO_MORE_FOR_PAIN]
    others: dict[Message, list[Reason]] = {about: [] for about in _ABOUT}
    for one in told:
        if one not in for_joints:
            others[_about(one)].append(one)
    groups = [ReasonGroup(about, tuple(several)) for about, several in others.items() if several]
    if for_joints:
        joints = listed(joint for one in for_joints for joint in _joints(one.message))
        groups.insert(0, ReasonGroup(message("about_joints", joints=joints), tuple(for_joints)))
    return tuple(groups)


_ABOUT_PAIN_BEFORE = message("about_pain_before")
_ABOUT_TODAY = message("about_today")
_ABOUT_KIT_AND_ROOM = message("about_kit_and_room")
_ABOUT_COACH = message("about_coach")
_ABOUT_TIME = message("about_time")
_ABOUT = (_ABOUT_PAIN_BEFORE, _ABOUT_TODAY, _ABOUT_KIT_AND_ROOM, _ABOUT_COACH, _ABOUT_TIME)


def _about(reason: Reason) -> Message:
    if reason.code in _TO_SAVE_TIME:
        return _ABOUT_TIME
    why = {one.code for one in _whys(reason.message)}
    if reason.code == NO_MORE_FOR_PAIN or AFTER_PAIN.code in why:
        return _ABOUT_PAIN_BEFORE
    if why & _OF_TODAY:
        return _ABOUT_TODAY
    return _ABOUT_KIT_AND_ROOM if why & _OF_KIT_AND_ROOM else _ABOUT_COACH


def _whys(said: Message) -> Iterator[Message]:
    """What a reason gives as its reasons."""
    why = said.arguments.get("why")
    yield from (one for one in _each(why) if isinstance(one, Message))


def _joints(said: Message) -> Iterator[Joint]:
    """The joints that a reason spares."""
    for one in _whys(said):
        yield from (joint for joint in _each(one.arguments.get("joints")) if isinstance(joint, Joint))


def _each(argument: Argument | None) -> tuple[Argument, ...]:
    if isinstance(argument, Listed):
        return argument.listed
    return () if argument is None else (argument,)
