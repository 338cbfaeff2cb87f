"""Cautions beside those for everyone: what the profile and a long time away add."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from engine.record.profile import ProfileFlag

LONG_BREAK_DAYS = 28
"""† Our judgement, no source."""

CAUTIONS = {
    ProfileFlag.novice: (
        "New to strength training: practise every movement first, and end each set with 3 or more "
        "repetitions left."
    ),
    ProfileFlag.older: "Take your time on the way down and up, with something firm to hold on to.",
    ProfileFlag.pregnant: (
        "Train once your midwife or doctor has cleared you. From mid-pregnancy do not lie on your back for "
        "long. Bleeding, loss of fluid or contractions: stop and get help now."
    ),
    ProfileFlag.high_blood_pressure: (
        "Have your blood pressure looked at first. Breathe out on the effort, and do not hold your breath."
    ),
}
"""One for each flag of the profile. Novice and older: † our judgement, no source. Pregnant: ACOG Committee
Opinion 804 (2020); blood pressure: ACSM's Guidelines for Exercise Testing (both from memory)."""
AFTER_A_LONG_BREAK = (
    "After more than four weeks away begin with about half the load. If you were ill or hurt, have a health "
    "professional clear you first."
)


def cautions_for(flags: Collection[ProfileFlag], away_days: int) -> Iterator[str]:
    """The cautions for a person who was away for so many days, in the order of the flags."""
    yield from (CAUTIONS[flag] for flag in ProfileFlag if flag in flags)
    if away_days > LONG_BREAK_DAYS:
        yield AFTER_A_LONG_BREAK
