"""Cautions beside those for everyone: what the profile and a long time away add."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from engine.movements.limits import Limit
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from engine.today.limits import NO_SESSION_FROM, exercise_from, limits_for, questions_open

NOTHING_GROWS_FROM = 6
"""From this rating of sore muscles nothing grows, and it is said when they need help. † Our judgement, no
source."""
LONG_BREAK_DAYS = 28
"""† Our judgement, no source."""

CAUTIONS = {
    ProfileFlag.novice: (
        "New to strength training: practise every movement first, and end each set with 3 or more "
        "repetitions left."
    ),
    ProfileFlag.older: "Take your time on the way down and up, with something firm to hold on to.",
    ProfileFlag.pregnant: (
        "Train once your midwife or doctor has cleared you. You can always talk while you work: effort 7 of "
        "10 at most. Bleeding, loss of fluid or contractions: stop and get help now."
    ),
    ProfileFlag.after_birth: (
        "Train once your midwife or doctor has cleared you. Until 6 weeks after the birth, 12 after a "
        "caesarean, breathe and walk only. Heaviness below or leaking: stop the movement."
    ),
    ProfileFlag.high_blood_pressure: (
        f"Have your blood pressure looked at first. {NO_SESSION_FROM} or more today: no session, and call "
        "your doctor. "
        "Breathe out on the effort, do not hold your breath, and take 20 seconds to rise."
    ),
    ProfileFlag.fragile_bones: (
        "Ask a health professional first which movements are safe for your back. Lift close to the body, and "
        "have something firm within reach."
    ),
}
"""One for each flag of the profile. Novice, older, and the weeks after a birth: † our judgement, no source.
Pregnant: ACOG Committee Opinion 804 (2020); blood pressure: ACSM's Guidelines for Exercise Testing; fragile
bones: the consensus on exercise with osteoporosis, Giangregorio 2014 (all from memory)."""
QUESTIONS = {
    ProfileFlag.pregnant: "In Settings, say which week it is now: until then the most careful version holds.",
    ProfileFlag.after_birth: "In Settings, say the day of the birth: until then breathe and walk only.",
}
"""What is asked of those who ticked something and have not told it."""
ASKED_AGAIN = (
    "By now it would be week 42 or later. In Settings, say the week again, or tick that you have given birth."
)
AFTER_A_LONG_BREAK = (
    "After more than four weeks away begin with about half the weight, or without where none is lighter. If "
    "you were ill or hurt, have a health professional clear you first."
)

PRESSURE_HIGH = (
    f"Your blood pressure is {NO_SESSION_FROM} or more. Sit quietly for five minutes and measure again; if "
    "it stays there, call your doctor today. With chest pain, breathlessness, a severe headache, weakness, "
    "or trouble seeing or speaking: get help now."
)
"""ACSM's Guidelines for Exercise Testing for the number, hospital pages for the signs (both from memory)."""
VERY_SORE_MUSCLES = (
    "Sore muscles with severe swelling, weakness or dark urine: get urgent help today, and do not train."
)
"""Breakdown of muscle after hard training (from memory)."""


def cautions_for(flags: Collection[ProfileFlag], away_days: int, sore_muscles: int = 0) -> Iterator[str]:
    """The cautions for a person who was away for so many days, the urgent one first, then in the order of the
    flags."""
    if sore_muscles >= NOTHING_GROWS_FROM:
        yield VERY_SORE_MUSCLES
    yield from (CAUTIONS[flag] for flag in ProfileFlag if flag in flags)
    if away_days > LONG_BREAK_DAYS:
        yield AFTER_A_LONG_BREAK


def questions_to_answer(
    flags: Collection[ProfileFlag], day: date, *, pregnancy: WeekSaid | None, birth: Birth | None
) -> Iterator[str]:
    """What the person has to tell, or to tell again."""
    for flag in questions_open(flags, day, pregnancy=pregnancy, birth=birth):
        yield ASKED_AGAIN if flag is ProfileFlag.pregnant and pregnancy else QUESTIONS[flag]


def why_no_session(flags: Collection[ProfileFlag], day: date, birth: Birth | None) -> str:
    """Why there is only breathing and walking for now; empty where there may be more."""
    if Limit.breathing_and_walking not in limits_for(flags, day, birth=birth):
        return ""
    if birth is None:
        return "Breathing and walking only, until the day of the birth is said in Settings."
    starts = exercise_from(birth)
    return f"Breathing and walking only until {starts.day} {starts:%B %Y}. Then begin with few minutes."
