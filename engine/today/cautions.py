"""Cautions beside those for everyone: what the profile and a long time away add."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from engine.base.message import Count, Day, Message, message
from engine.movements.limits import Limit
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from engine.today.limits import NO_SESSION_FROM, exercise_from, limits_for, questions_open

NOTHING_GROWS_FROM = 6
"""From this rating of sore muscles nothing grows, and it is said when they need help. † Our judgement, no
source."""
LONG_BREAK_DAYS = 28
"""† Our judgement, no source."""

CAUTIONS = {
    ProfileFlag.novice: message("practise_every_movement_first"),
    ProfileFlag.older: message("take_time_down_and_up"),
    ProfileFlag.pregnant: message("cleared_and_talking_while_working"),
    ProfileFlag.after_birth: message("cleared_and_breathing_and_walking"),
    ProfileFlag.high_blood_pressure: message(
        "blood_pressure_looked_at_first",
        upper=Count(count=NO_SESSION_FROM[0]),
        lower=Count(count=NO_SESSION_FROM[1]),
    ),
    ProfileFlag.fragile_bones: message("ask_which_movements_are_safe"),
}
"""One for each flag of the profile. Novice, older, and the weeks after a birth: † our judgement, no source.
Pregnant: ACOG Committee Opinion 804 (2020); blood pressure: ACSM's Guidelines for Exercise Testing; fragile
bones: the consensus on exercise with osteoporosis, Giangregorio 2014 (all from memory)."""
QUESTIONS = {
    ProfileFlag.pregnant: message("say_which_week_it_is"),
    ProfileFlag.after_birth: message("say_the_day_of_the_birth"),
}
"""What is asked of those who ticked something and have not told it."""
ASKED_AGAIN = message("say_the_week_again")
AFTER_A_LONG_BREAK = message("begin_with_half_the_weight")
PRESSURE_HIGH = message(
    "blood_pressure_too_high",
    upper=Count(count=NO_SESSION_FROM[0]),
    lower=Count(count=NO_SESSION_FROM[1]),
)
"""ACSM's Guidelines for Exercise Testing for the number, hospital pages for the signs (both from memory)."""
VERY_SORE_MUSCLES = message("sore_muscles_that_need_help")
"""Breakdown of muscle after hard training (from memory)."""


def cautions_for(flags: Collection[ProfileFlag], away_days: int, sore_muscles: int = 0) -> Iterator[Message]:
    """The cautions for a person who was away for so many days, the urgent one first, then in the order of the
    flags."""
    if sore_muscles >= NOTHING_GROWS_FROM:
        yield VERY_SORE_MUSCLES
    yield from (CAUTIONS[flag] for flag in ProfileFlag if flag in flags)
    if away_days > LONG_BREAK_DAYS:
        yield AFTER_A_LONG_BREAK


def questions_to_answer(
    flags: Collection[ProfileFlag], day: date, *, pregnancy: WeekSaid | None, birth: Birth | None
) -> Iterator[Message]:
    """What the person has to tell, or to tell again."""
    for flag in questions_open(flags, day, pregnancy=pregnancy, birth=birth):
        yield ASKED_AGAIN if flag is ProfileFlag.pregnant and pregnancy else QUESTIONS[flag]


def why_no_session(flags: Collection[ProfileFlag], day: date, birth: Birth | None) -> Message | None:
    """Why there is only breathing and walking for now; None where there may be more."""
    if Limit.breathing_and_walking not in limits_for(flags, day, birth=birth):
        return None
    if birth is None:
        return message("breathing_and_walking_until_told")
    return message("breathing_and_walking_until", day=Day(day=exercise_from(birth)))
