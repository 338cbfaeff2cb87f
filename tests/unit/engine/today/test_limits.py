"""What a profile and a day mean for positions and movements."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from companion.samples import sample_plans
from companion.words.words import ENGLISH, english
from engine.base.message import Message
from engine.fit.choose import choose
from engine.movements.limits import LIMIT_RULES, Limit, barring
from engine.movements.movement import Kit, Position, library
from engine.movements.room import Room
from engine.movements.terms import limit_term
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.profile import Birth, ProfileFlag, WeekSaid, read_birthday, read_week
from engine.today.care import care_for, pressure_too_high
from engine.today.cautions import ASKED_AGAIN, QUESTIONS, questions_to_answer, why_no_session
from engine.today.day import Today
from engine.today.limits import exercise_from, limits_for

MONDAY = date(2026, 3, 2)
PREGNANT, AFTER_BIRTH = (ProfileFlag.pregnant,), (ProfileFlag.after_birth,)
PROFILE_WORDS = ("pregnan", "birth", "pressure", "bone", "older", "novice", "caesarean", "week ")


def in_week(week: int, later: timedelta = timedelta()) -> set[Limit]:
    said = WeekSaid(week=week, said_on=MONDAY)
    return set(limits_for(PREGNANT, MONDAY + later, pregnancy=said))


@pytest.mark.parametrize(
    "week, limit",
    [(13, Limit.not_prone), (16, Limit.not_on_back), (20, Limit.steady), (20, Limit.hands_raised)],
)
def test_each_limit_of_a_pregnancy_begins_in_its_week_and_not_before(week: int, limit: Limit) -> None:
    """ACOG Committee Opinion 804 (2020) for the back and falls [M]; the weeks are † ours."""
    assert limit not in in_week(week - 1)
    assert limit in in_week(week)
    assert limit in in_week(42)


def test_from_the_first_week_effort_stays_at_7_and_no_breath_is_held_and_nothing_lies_on_the_belly() -> None:
    always = {Limit.effort_7, Limit.keep_breathing, Limit.belly_free, Limit.not_head_down}
    assert always == in_week(1)


@pytest.mark.parametrize("days, week", [(0, 15), (6, 15), (7, 16), (34, 19), (35, 20), (-3, 15)])
def test_the_week_grows_with_the_days_since_it_was_said(days: int, week: int) -> None:
    assert WeekSaid(week=15, said_on=MONDAY).on(MONDAY + timedelta(days=days)) == week


def test_a_week_said_before_brings_the_limit_by_itself_when_its_week_comes() -> None:
    assert Limit.not_on_back not in in_week(15, timedelta(days=6))
    assert Limit.not_on_back in in_week(15, timedelta(days=7))


def test_a_pregnancy_whose_week_is_not_told_has_its_most_careful_limits() -> None:
    assert set(limits_for(PREGNANT, MONDAY)) == in_week(42)


def asked(week: int | None, days: int = 0) -> list[Message]:
    said = week and WeekSaid(week=week, said_on=MONDAY)
    day = MONDAY + timedelta(days=days)
    return list(questions_to_answer(PREGNANT, day, pregnancy=said or None, birth=None))


def test_the_week_is_asked_for_and_again_at_42() -> None:
    assert asked(None) == [QUESTIONS[ProfileFlag.pregnant]]
    assert asked(40, 13) == []
    assert asked(40, 14) == [ASKED_AGAIN]


@pytest.mark.parametrize("caesarean, weeks", [(False, 6), (True, 12)])
def test_after_a_birth_there_is_breathing_and_walking_only_until_its_week(
    caesarean: bool, weeks: int
) -> None:
    """† Ours; clearance comes first in any case."""
    birth = Birth(on=MONDAY, caesarean=caesarean)
    last = MONDAY + timedelta(weeks=weeks, days=-1)
    assert exercise_from(birth) == last + timedelta(days=1)
    assert Limit.breathing_and_walking in limits_for(AFTER_BIRTH, last, birth=birth)
    after = limits_for(AFTER_BIRTH, last + timedelta(days=1), birth=birth)
    assert after == (Limit.stop_when_heavy,)
    assert "Monday 13 April" in ENGLISH.say(why_no_session(AFTER_BIRTH, MONDAY, Birth(on=MONDAY)))
    assert not why_no_session(AFTER_BIRTH, date(2026, 4, 13), Birth(on=MONDAY))


def test_a_birth_whose_day_is_not_told_counts_as_of_today() -> None:
    assert Limit.breathing_and_walking in limits_for(AFTER_BIRTH, MONDAY)
    assert "Settings" in ENGLISH.say(why_no_session(AFTER_BIRTH, MONDAY, None))


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
@pytest.mark.parametrize("kit", Kit)
def test_180_over_110_today_leaves_no_session_and_names_whom_to_call(plan: SessionPlan, kit: Kit) -> None:
    """ACSM's Guidelines for Exercise Testing [M]: no training at rest at 180 systolic or 110 diastolic."""
    pressed = (ProfileFlag.high_blood_pressure,)
    limits = limits_for(pressed, MONDAY, pressure_high=True)
    choice = choose(plan, Room(kit=kit, limits=limits))
    assert not any(choice.by_block.values())
    today = Today(MONDAY, 30, kit=kit, flags=pressed, pressure_high=True)
    said = ENGLISH.say(care_for(plan, choice, History(), today).no_session)
    assert "180/110" in said
    assert "call your doctor today" in said
    assert "get help now" in said
    assert not care_for(plan, choice, History(), replace(today, pressure_high=False)).no_session


def test_a_pressure_counts_for_nobody_who_did_not_tick_that_it_is_high() -> None:
    assert limits_for((), MONDAY, pressure_high=True) == ()
    assert not list(pressure_too_high(Today(MONDAY, 30, pressure_high=True)))


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
def test_with_breathing_and_walking_only_no_work_is_left(plan: SessionPlan) -> None:
    choice = choose(plan, Room(kit=Kit.pair, limits=(Limit.breathing_and_walking,)))
    assert not any(choice.by_block[block.id] for block in plan.work_blocks())


@pytest.mark.parametrize(
    "flag, limits",
    [
        (ProfileFlag.novice, {Limit.not_on_one_leg, Limit.not_head_down}),
        (ProfileFlag.older, {Limit.not_on_one_leg, Limit.not_head_down}),
        (
            ProfileFlag.fragile_bones,
            {Limit.no_rounding, Limit.no_twisting, Limit.steady, Limit.not_head_down},
        ),
        (
            ProfileFlag.high_blood_pressure,
            {
                Limit.head_up,
                Limit.trunk_up,
                Limit.keep_breathing,
                Limit.lying_press_effort_7,
                Limit.short_holds,
            },
        ),
    ],
)
def test_every_other_profile_has_its_limits_on_any_day(flag: ProfileFlag, limits: set[Limit]) -> None:
    assert set(limits_for((flag,), MONDAY)) == limits


def test_nobody_has_a_limit_who_ticked_nothing_whatever_was_told_before() -> None:
    said, birth = WeekSaid(week=30, said_on=MONDAY), Birth(on=MONDAY)
    assert limits_for((), MONDAY, pregnancy=said, birth=birth) == ()


def test_one_profile_more_never_allows_what_another_forbids() -> None:
    for flag in ProfileFlag:
        for other in ProfileFlag:
            assert set(limits_for((flag,), MONDAY)) <= set(limits_for((flag, other), MONDAY))


def test_a_profile_never_adds_a_position_that_it_forbids() -> None:
    """For each profile and week, each sample and kit: nothing that is chosen is against the limits."""
    known = library()
    weeks = [WeekSaid(week=week, said_on=MONDAY) for week in (1, 13, 16, 20, 42)]
    for flag in ProfileFlag:
        for said in weeks if flag is ProfileFlag.pregnant else [None]:
            limits = limits_for((flag,), MONDAY, pregnancy=said)
            for plan in sample_plans():
                for kit in Kit:
                    room = Room(kit=kit, limits=limits)
                    for block in choose(plan, room).by_block.values():
                        for one in block.values():
                            movement = known[one.movement]
                            variant = next(
                                variant for variant in movement.variants if variant.id == one.variant
                            )
                            assert not barring(limits, movement, variant)


WITH_WORDS = set(Limit) - set(LIMIT_RULES)


def test_neither_a_code_nor_a_word_nor_a_rule_of_a_limit_names_a_profile() -> None:
    said = " ".join(
        (*Limit, *(english(limit_term(one)) for one in WITH_WORDS), *LIMIT_RULES.values())
    ).lower()
    assert not any(word in said for word in PROFILE_WORDS)


def test_every_limit_bars_something_of_the_library_or_adds_a_rule_to_it() -> None:
    variants = [(movement, variant) for movement in library().values() for variant in movement.variants]
    for limit in Limit:
        barred = any(barring((limit,), movement, variant) for movement, variant in variants)
        assert barred == (limit in WITH_WORDS)


def test_lying_presses_stop_with_three_left_and_holds_end_in_time_and_hinges_stay_above_level() -> None:
    """High blood pressure: lying presses at effort 7, no hold over 30 s at effort 8, 15° above level. † Ours,
    after the advice against straining in ACSM's Guidelines [M]."""
    limits = limits_for((ProfileFlag.high_blood_pressure,), MONDAY)
    for plan in sample_plans():
        for block in plan.work_blocks():
            for one in choose(plan, Room(kit=Kit.pair, limits=limits)).by_block[block.id].values():
                rules = " ".join(one.stop_rules)
                assert "never hold your breath" in rules
                assert ("within 30 s" in rules) == (one.starts_with == "hold")
                lying_press = one.position is Position.supine and one.pattern == "horizontal_push"
                assert ("effort 7 of 10" in rules) == lying_press
                assert "15°" in rules or one.movement not in (
                    "romanian-deadlift",
                    "bent-over-row",
                    "wide-row",
                )


@pytest.mark.parametrize(
    "written, week", [("20", 20), (" 7 ", 7), ("42", 42), ("0", None), ("43", None), ("", None), ("²", None)]
)
def test_a_week_is_read_as_it_was_written(written: str, week: int | None) -> None:
    assert read_week(written) == week


@pytest.mark.parametrize(
    "written, day",
    [
        ("2026-03-02", MONDAY),
        (" 2026-01-31 ", date(2026, 1, 31)),
        ("2026-03-03", None),
        ("2026-02-30", None),
        ("last week", None),
    ],
)
def test_the_day_of_a_birth_is_a_day_up_to_today(written: str, day: date | None) -> None:
    assert read_birthday(written, MONDAY) == day
