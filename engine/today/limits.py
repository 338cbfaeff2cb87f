"""What a profile means for positions and movements on one day, as limits that do not name it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date, timedelta

from engine.movements.limits import Limit
from engine.record.profile import LAST_WEEK, Birth, ProfileFlag, WeekSaid

NOT_PRONE_FROM_WEEK = 13
NOT_ON_BACK_FROM_WEEK = 16
STEADY_FROM_WEEK = 20
"""Weeks of pregnancy. ACOG Committee Opinion 804 (2020) advises against long lying on the back and risk of
falls [M]; the weeks are † our judgement, no source."""
NO_SESSION_FROM = 180, 110
"""Blood pressure at rest, either number: ACSM's Guidelines for Exercise Testing [M]."""
WEEKS_AFTER_BIRTH = 6
WEEKS_AFTER_CAESAREAN = 12
"""Until then breathing and walking only. † Our judgement, no source."""


def limits_for(
    flags: Collection[ProfileFlag],
    day: date,
    *,
    pregnancy: WeekSaid | None = None,
    birth: Birth | None = None,
    pressure_high: bool = False,
) -> tuple[Limit, ...]:
    """The limits on a day, each once. What is ticked and not told in full counts as its strictest.

    ``pressure_high`` says that the blood pressure was measured at ``NO_SESSION_FROM`` or more today.
    """
    found = set(_limits(frozenset(flags), day, pregnancy, birth))
    found |= {Limit.rest_today} if pressure_high and ProfileFlag.high_blood_pressure in flags else set()
    return tuple(limit for limit in Limit if limit in found)


def _limits(
    flags: frozenset[ProfileFlag], day: date, pregnancy: WeekSaid | None, birth: Birth | None
) -> Iterator[Limit]:
    if flags & {ProfileFlag.novice, ProfileFlag.older}:
        yield from (Limit.not_on_one_leg, Limit.not_head_down)
    if ProfileFlag.pregnant in flags:
        yield from _in_week(STEADY_FROM_WEEK if pregnancy is None else pregnancy.on(day))
    if ProfileFlag.after_birth in flags:
        yield Limit.stop_when_heavy
        if birth is None or day < exercise_from(birth):
            yield Limit.breathing_and_walking
    if ProfileFlag.high_blood_pressure in flags:
        yield from (Limit.head_up, Limit.trunk_up, Limit.keep_breathing)
        yield from (Limit.lying_press_effort_7, Limit.short_holds)
    if ProfileFlag.fragile_bones in flags:
        yield from (Limit.no_rounding, Limit.no_twisting, Limit.steady, Limit.not_head_down)


def _in_week(week: int) -> Iterator[Limit]:
    """Pregnancy: ACOG Committee Opinion 804 (2020) [M] for the back, falls, effort and breath."""
    yield from (Limit.effort_7, Limit.keep_breathing, Limit.belly_free, Limit.not_head_down)
    if week >= NOT_PRONE_FROM_WEEK:
        yield Limit.not_prone
    if week >= NOT_ON_BACK_FROM_WEEK:
        yield Limit.not_on_back
    if week >= STEADY_FROM_WEEK:
        yield from (Limit.steady, Limit.hands_raised)


def exercise_from(birth: Birth) -> date:
    """The first day on which more than breathing and walking is proposed."""
    weeks = WEEKS_AFTER_CAESAREAN if birth.caesarean else WEEKS_AFTER_BIRTH
    return birth.on + timedelta(weeks=weeks)


def questions_open(
    flags: Collection[ProfileFlag], day: date, *, pregnancy: WeekSaid | None, birth: Birth | None
) -> Iterator[ProfileFlag]:
    """What has been ticked and has to be told, or told again."""
    if ProfileFlag.pregnant in flags and (pregnancy is None or pregnancy.on(day) >= LAST_WEEK):
        yield ProfileFlag.pregnant
    if ProfileFlag.after_birth in flags and birth is None:
        yield ProfileFlag.after_birth
