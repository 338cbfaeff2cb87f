"""Published advice for profiles beside what a session does with it. Values from memory say so; † is ours."""

from __future__ import annotations

from datetime import date

import pytest

from companion.samples import sample_plans
from companion.style.safety import URGENT
from companion.words.words import english
from engine.fit.asked import Asked
from engine.fit.choose import choose
from engine.fit.offer import offer
from engine.movements.limits import LEAST_SLOPE_DEGREES, LIMIT_RULES, MOST_HOLD_S, Limit
from engine.movements.movement import Demand, Kit, Position, library
from engine.movements.room import Room
from engine.record.history import History
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from engine.session.choices import Chosen
from engine.today.care import care_for
from engine.today.cautions import CAUTIONS
from engine.today.day import Today
from engine.today.limits import limits_for

TODAY = date(2026, 3, 2)
LIBRARY = library()


def chosen_with(*flags: ProfileFlag, kit: Kit = Kit.pair, week: int | None = None) -> list[Chosen]:
    """Everything that the samples ask of somebody with these flags."""
    said = None if week is None else WeekSaid(week=week, said_on=TODAY)
    room = Room(kit=kit, limits=limits_for(flags, TODAY, pregnancy=said))
    blocks = (block for plan in sample_plans() for block in choose(plan, room).by_block.values())
    return [one for block in blocks for one in block.values()]


def demands(chosen: Chosen) -> frozenset[Demand]:
    movement = LIBRARY[chosen.movement]
    return movement.asks_of(next(variant for variant in movement.variants if variant.id == chosen.variant))


def balance(chosen: Chosen) -> int:
    movement = LIBRARY[chosen.movement]
    return movement.balance_of(next(variant for variant in movement.variants if variant.id == chosen.variant))


# ACOG Committee Opinion 804, 2020, doi 10.1097/AOG.0000000000003772 [F abstract]: activity is encouraged with
# changes where needed. The list of changes [M]: no long lying on the back after the first trimester, no
# activity with a high risk of falling, no breath held against a load, stop at warning signs.


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("week", [16, 20, 30, 40])
def test_late_in_pregnancy_nobody_lies_on_the_back_or_falls_easily_or_holds_the_breath(
    kit: Kit, week: int
) -> None:
    """The back from week 16†, well after the first trimester of 13 weeks ends; falls from week 20†."""
    for one in chosen_with(ProfileFlag.pregnant, kit=kit, week=week):
        assert one.position not in (Position.supine, Position.prone)
        assert week < 20 or balance(one) <= 1
        assert one.pattern == "mobility" or LIMIT_RULES[Limit.keep_breathing] in one.stop_rules


@pytest.mark.parametrize("kit", Kit)
def test_activity_is_encouraged_in_pregnancy_a_session_fits_in_every_week(kit: Kit) -> None:
    """ACOG 804 [F abstract]: activity, not rest. In every week each sample still has work in 40 minutes."""
    for week in (1, 13, 16, 20, 40):
        limits = limits_for((ProfileFlag.pregnant,), TODAY, pregnancy=WeekSaid(week=week, said_on=TODAY))
        for plan in sample_plans():
            session = offer(plan, Asked(minutes=40, room=Room(kit=kit, limits=limits))).session
            assert session is not None, (plan.id, week)


@pytest.mark.parametrize("sign", ["bleeding", "loss of fluid", "contractions"])
def test_the_signs_to_stop_at_in_pregnancy_are_named_to_everyone_and_to_who_ticks_it(sign: str) -> None:
    """ACOG 804, list of warning signs [M]."""
    assert sign in URGENT
    said = english(CAUTIONS[ProfileFlag.pregnant])
    assert sign in said.lower()
    assert "cleared" in said


# High blood pressure: ACSM's Guidelines for Exercise Testing and Prescription [M]: no training at a resting
# 180/110 or more, no breath held, nothing with the head below the heart under load, a longer cool-down.


def test_180_over_110_means_no_session() -> None:
    """ACSM's Guidelines name 180 systolic or 110 diastolic at rest as where training waits [M]."""
    said = english(CAUTIONS[ProfileFlag.high_blood_pressure])
    assert said.index("180/110 or more today") < said.index("no session") < said.index("doctor")
    assert "do not hold your breath" in said


@pytest.mark.parametrize("kit", Kit)
def test_with_high_blood_pressure_the_head_stays_up_and_hinges_and_holds_say_where_to_stop(kit: Kit) -> None:
    """The angle and the seconds are † ours."""
    assert (LEAST_SLOPE_DEGREES, MOST_HOLD_S) == (15, 30)
    for one in chosen_with(ProfileFlag.high_blood_pressure, kit=kit):
        rules = " ".join(one.stop_rules)
        assert Demand.head_low not in demands(one)
        assert (Demand.trunk_level in demands(one)) == (f"{LEAST_SLOPE_DEGREES}°" in rules)
        work = one.pattern != "mobility"
        assert (work and one.starts_with == "hold") == (f"within {MOST_HOLD_S} s" in rules)


def test_with_high_blood_pressure_rising_and_the_cool_down_take_their_time() -> None:
    """20 s to rise and 3 minutes of cool-down are † ours; a gradual end is ACSM's [M]."""
    plan = sample_plans()[0]
    choice = choose(plan, Room(kit=Kit.single))
    today = Today(TODAY, 30, kit=Kit.single, flags=(ProfileFlag.high_blood_pressure,))
    care = care_for(plan, choice, History(), today)
    assert care.careful_to_floor
    assert care.careful_cool_down


# Exercise with osteoporosis, Giangregorio 2014, Osteoporos Int 25:821–835 (“Too Fit To Fracture”) [M]: no
# rapid, repeated, loaded or end-range rounding and twisting of the spine; balance is trained with care.


@pytest.mark.parametrize("kit", Kit)
def test_with_fragile_bones_the_spine_neither_rounds_nor_twists_and_the_stance_is_steady(kit: Kit) -> None:
    for one in chosen_with(ProfileFlag.fragile_bones, kit=kit):
        assert not demands(one) & {Demand.rounding, Demand.twisting}
        assert balance(one) <= 1


# After a birth: ACOG Committee Opinion 804 [M]: gradually, once it is medically safe, by the way of delivery.


@pytest.mark.parametrize("caesarean, weeks", [(False, 6), (True, 12)])
def test_after_a_birth_strength_waits_longer_after_a_caesarean(caesarean: bool, weeks: int) -> None:
    """Six and twelve weeks are † ours, at or beyond the usual check-up at six weeks (common practice, no
    source)."""
    birth = Birth(on=date.fromordinal(TODAY.toordinal() - 7 * weeks), caesarean=caesarean)
    too_early = birth.model_copy(update={"on": date.fromordinal(birth.on.toordinal() + 1)})
    flags = (ProfileFlag.after_birth,)
    assert Limit.breathing_and_walking not in limits_for(flags, TODAY, birth=birth)
    assert Limit.breathing_and_walking in limits_for(flags, TODAY, birth=too_early)
    assert "Heaviness in the pelvic floor, or leaking" in english(CAUTIONS[ProfileFlag.after_birth])
