"""Whether there is no strength session today because a joint hurts, and what is asked of the person then."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from engine.movements.movement import PAIRED_JOINTS
from engine.movements.pain import END_FROM, Advice
from engine.movements.room import SoreJoint
from engine.record.history import History

WINDOW_DAYS, WINDOW_TIMES = 7, 2
"""A joint at 6 or more on so many days of so many, today included, asks for a clinician. † Our judgement, no
source."""


class AboutPain(StrEnum):
    """What is asked about a joint that hurts so much, the most urgent first."""

    urgent_signs = "urgent_signs"
    nerve_signs = "nerve_signs"
    swelling = "swelling"
    injury = "injury"


class NextStep(StrEnum):
    """What the answers ask of the person, from the least to the most serious."""

    rest = "rest"
    see_clinician = "see_clinician"
    get_help = "get_help"


@dataclass(frozen=True)
class NoSession:
    """No strength session today, because ``joints`` hurt at 6 or more.

    ``again`` says that this is not the first such day of the last seven.
    """

    joints: tuple[SoreJoint, ...]
    again: bool = False

    def asked(self, answers: Mapping[AboutPain, bool]) -> tuple[AboutPain, ...]:
        """The questions answered so far and the next one; none after an urgent sign."""
        if answers.get(AboutPain.urgent_signs):
            return (AboutPain.urgent_signs,)
        open_ones = [one for one in AboutPain if one not in answers]
        return tuple(one for one in AboutPain if one in answers or one in open_ones[:1])

    def next_step(self, answers: Mapping[AboutPain, bool]) -> NextStep | None:
        """What the answers given so far ask for; None while what is still open could ask for more.

        An urgent sign goes before everything else.
        """
        if answers.get(AboutPain.urgent_signs):
            return NextStep.get_help
        if len(answers) < len(AboutPain):
            return None
        return NextStep.see_clinician if self.again or any(answers.values()) else NextStep.rest

    def permits_easy_movement(self, answers: Mapping[AboutPain, bool]) -> bool:
        """Whether easy movement may be offered: every question is answered with no, this is the first such
        day of seven, and it is one joint, neither the neck nor the low back."""
        paired = [one for one in self.joints if one.joint in PAIRED_JOINTS]
        return len(paired) == len(self.joints) == 1 and self.next_step(answers) is NextStep.rest


def no_session(sore: Iterable[SoreJoint], *, again: bool = False) -> NoSession | None:
    """Why there is no strength session today; None where there may be one.

    ``sore`` are the joints that the person rated today. A joint that the coach spares, or that is spared
    after pain, is not said to hurt so much. ``again`` is ``hurt_lately``.
    """
    joints = tuple(one for one in sore if one.rating >= END_FROM)
    return NoSession(joints, again) if joints else None


def hurt_lately(day: date, history: History, noted: Collection[date] = ()) -> bool:
    """Whether pain of 6 or more was said on another of the last seven days.

    ``noted`` are the local dates of pain notes of a joint at 6 or more that belong to no session.
    """
    ended = (one.local_date for one in history.exposures if one.advice is Advice.end_session)
    since = day - timedelta(days=WINDOW_DAYS - 1)
    earlier = {one for one in (*ended, *noted) if since <= one < day}
    return len(earlier) + 1 >= WINDOW_TIMES
