"""What time away, sore muscles, pain and the profile change about today's session: only ever towards less.

This is about practice, rounds, getting down to the floor and the cool-down. Loads are proposed elsewhere
(``engine.load``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from engine.base.message import Count, Message, message
from engine.fit.asked import Asked
from engine.fit.choose import Choice
from engine.growth.illness import easy_message
from engine.load.clear import LONGEST_BREAK_DAYS
from engine.load.next_step import FRESH_DAYS
from engine.movements.limits import Limit
from engine.plan.plan import PracticeBlock, SessionPlan
from engine.record.history import History
from engine.record.profile import ProfileFlag
from engine.today.cautions import (
    NOTHING_GROWS_FROM,
    PRESSURE_HIGH,
    cautions_for,
    questions_to_answer,
    why_no_session,
)
from engine.today.day import Today
from engine.today.practice import why_practice_stays, why_practise, worked_today

VERY_SORE = 4
"""From this rating of sore muscles the session has the fewest rounds; below it, at most half of the rounds
beyond. † Our judgement, no source."""

EASES_THE_COOL_DOWN = frozenset({ProfileFlag.older, ProfileFlag.pregnant, ProfileFlag.high_blood_pressure})
EASES_GETTING_DOWN = EASES_THE_COOL_DOWN
"""Rising from the floor takes its time too. † Our judgement, no source."""


@dataclass(frozen=True)
class Care:
    """What a session takes care of. ``said`` says why, ``cautions`` are shown as well.
    ``pain`` is said before anything else.

    ``extra_rounds_percent`` of the rounds beyond the plan's minimum may be bought.
    """

    first_time: bool = False
    practice_required: bool = False
    careful_cool_down: bool = False
    careful_to_floor: bool = False
    extra_rounds_percent: int = 100
    pain: tuple[Message, ...] = ()
    said: tuple[Message, ...] = ()
    cautions: tuple[Message, ...] = ()
    no_session: Message | None = None
    """Why there is none for now; None where there may be one."""

    def over(self, asked: Asked) -> Asked:
        """The same question, with this care."""
        return replace(
            asked,
            first_time=self.first_time,
            practice_required=self.practice_required,
            careful_cool_down=self.careful_cool_down,
            careful_to_floor=self.careful_to_floor,
            extra_rounds_percent=self.extra_rounds_percent,
        )


def care_for(
    plan: SessionPlan,
    choice: Choice,
    history: History,
    today: Today,
    *,
    loads_g: Mapping[str, int] | None = None,
) -> Care:
    """The care that a plan takes today; the minutes make no difference to it.

    ``choice`` is what the person does of the plan today. ``loads_g`` is what is planned to be lifted, by
    movement; without it, no more than last time.
    """
    profile, planned_g = frozenset(today.flags), loads_g or {}
    worked = tuple(dict.fromkeys(worked_today(plan, choice.by_block)))
    reasons = [
        (one, why)
        for one in worked
        if (why := why_practise(one, history, today.day, planned_g.get(one.chosen.movement, 0)))
    ]
    away_days = max(0, (today.day - history.days[-1]).days) if history.days else 0
    has_practice = any(isinstance(block, PracticeBlock) for block in plan.blocks)
    return Care(
        first_time=any(not one.past(history) for one in worked),
        practice_required=bool(reasons) or away_days > FRESH_DAYS or ProfileFlag.novice in profile,
        careful_cool_down=bool(profile & EASES_THE_COOL_DOWN),
        careful_to_floor=bool(profile & EASES_GETTING_DOWN),
        extra_rounds_percent=_extra_rounds_percent(today, away_days),
        said=(
            *((easy_message(today.easy_session),) if today.easy_session else ()),
            *_said_of_time_away(away_days),
            *_said_of_soreness(today.sore_muscles),
            *(why_practice_stays(reasons) if has_practice else ()),
        ),
        cautions=(
            *cautions_for(profile, away_days, today.sore_muscles),
            *questions_to_answer(today.flags, today.day, pregnancy=today.pregnancy, birth=today.birth),
        ),
        no_session=_no_session(today),
    )


def _no_session(today: Today) -> Message | None:
    """Why there is none for now, the most urgent reason first; None where there may be one."""
    urgent = next(pressure_too_high(today), None) or today.not_yet
    return urgent or why_no_session(today.flags, today.day, today.birth)


def pressure_too_high(today: Today) -> Iterator[Message]:
    """That the blood pressure of the day leaves no session, and whom to call."""
    if Limit.rest_today in today.limits:
        yield PRESSURE_HIGH


def _extra_rounds_percent(today: Today, away_days: int) -> int:
    """The percentage of the extra rounds that may be bought; none in an easy session after an illness."""
    if today.easy_session:
        return 0
    return min(_after_time_away(away_days), _with_sore_muscles(today.sore_muscles))


def _after_time_away(days: int) -> int:
    """The percentage of the extra rounds after so many days away."""
    return 0 if days > LONGEST_BREAK_DAYS else 100


def _with_sore_muscles(rating: int) -> int:
    """The percentage of the extra rounds with sore muscles, rated 0–10."""
    if rating >= VERY_SORE:
        return 0
    return 50 if rating else 100


def _said_of_time_away(days: int) -> Iterator[Message]:
    if days > LONGEST_BREAK_DAYS:
        yield message("long_away", days=Count(count=days))
    elif days > FRESH_DAYS:
        yield message("away", days=Count(count=days))


def _said_of_soreness(rating: int) -> Iterator[Message]:
    if rating >= VERY_SORE:
        yield message("sore_fewest_rounds")
    elif rating:
        yield message("sore_fewer_rounds")
    if rating >= NOTHING_GROWS_FROM:
        yield message("sore_no_heavier")
