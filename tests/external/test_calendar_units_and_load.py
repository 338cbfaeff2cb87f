"""Weeks, pounds and the load of a week against standards and reference libraries."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pint
import pytest
from builders import HAND, STARTED_AT, plan, record, session, work
from isoweek import Week

from engine.base.periods import days_of, iso_week, week_before
from engine.base.units import HEAVIEST_LOAD_G, LoadUnit, grams, load_in
from engine.movements.movement import Kit, MovementPattern
from engine.plan.plan import RoundsRange
from engine.record.week import monotony, review_week


@pytest.mark.parametrize(
    "day, week",
    [
        # ISO 8601: a week belongs to the year of its Thursday.
        ("2005-01-01", "2004-W53"),
        ("2008-12-29", "2009-W01"),
        ("2010-01-03", "2009-W53"),
        ("2018-12-31", "2019-W01"),
        ("2021-01-03", "2020-W53"),
        ("2025-12-29", "2026-W01"),
        ("2027-01-03", "2026-W53"),
    ],
)
def test_the_days_around_new_year_fall_into_their_iso_week(day: str, week: str) -> None:
    assert iso_week(date.fromisoformat(day)) == week


def test_every_day_of_fifty_years_agrees_with_isoweek() -> None:
    """Judge: the isoweek library, day by day."""
    day = date(1999, 12, 27)
    for _ in range(50 * 366):
        theirs = Week.withdate(day)
        assert iso_week(day) == theirs.isoformat()[:4] + "-" + theirs.isoformat()[4:]
        day += timedelta(days=1)


def test_the_days_of_a_week_and_the_week_before_agree_with_isoweek() -> None:
    for number in range(1, 54):
        theirs = Week(2026, number)
        assert days_of(f"2026-W{number:02d}") == tuple(theirs.days())
        assert days_of(week_before(f"2026-W{number:02d}"))[0] == (theirs - 1).monday()


UNITS = pint.UnitRegistry(non_int_type=Decimal)


def test_a_pound_is_what_the_agreement_of_1959_defines() -> None:
    """1 lb = 0.45359237 kg exactly (International Yard and Pound Agreement): 25 lb = 11.33980925 kg."""
    assert grams(25, LoadUnit.lb) == 11_340
    assert Decimal(25) * Decimal("0.45359237") == Decimal("11.33980925")
    assert round(load_in(20_000, LoadUnit.lb), 6) == Decimal("44.092452")


@pytest.mark.parametrize("load_g", [*range(0, 60_001, 250), HEAVIEST_LOAD_G])
def test_loads_in_pounds_agree_with_pint(load_g: int) -> None:
    """Judge: pint with decimals, to the ninth decimal place of a pound."""
    theirs = UNITS.Quantity(Decimal(load_g), "gram").to("pound").magnitude
    assert abs(load_in(load_g, LoadUnit.lb) - theirs) <= Decimal("0.000000001")
    assert load_in(load_g, LoadUnit.kg) == UNITS.Quantity(Decimal(load_g), "gram").to("kilogram").magnitude


@pytest.mark.parametrize("pounds", [*range(201), Decimal("2.5"), Decimal("12.5")])
def test_pounds_are_stored_to_the_nearest_gram_of_pint(pounds: int | Decimal) -> None:
    theirs = UNITS.Quantity(Decimal(pounds), "pound").to("gram").magnitude
    assert abs(grams(Decimal(pounds), LoadUnit.lb) - theirs) <= Decimal("0.5")


FOSTER_TABLE_5 = (940, 50, 840, 280, 180, 390, 50, 390, 280)


def test_monotony_recomputes_the_printed_table() -> None:
    """Foster 2001, JSCR 15:109–115, Table 5: weekly load 3400, monotony 1.26, strain 4284.

    The printed figures come out only with the population standard deviation.
    """
    found = monotony(FOSTER_TABLE_5)
    assert found is not None
    assert sum(FOSTER_TABLE_5) == 3_400
    assert found == pytest.approx(1.2646, abs=0.0001)
    assert found == pytest.approx(float(np.mean(FOSTER_TABLE_5) / np.std(FOSTER_TABLE_5)))
    assert pytest.approx(4_284) == 3_400 * 1.26
    assert float(np.mean(FOSTER_TABLE_5) / np.std(FOSTER_TABLE_5, ddof=1)) != pytest.approx(1.26, abs=0.005)


def test_the_week_with_rest_days_agrees_with_numpy() -> None:
    """Computed: 0, 420, 0, 300, 0, 360, 0 → 1080; mean 154.2857; SD 181.0175; monotony 0.8523; strain
    920.51."""
    days = (0, 420, 0, 300, 0, 360, 0)
    assert float(np.mean(days)) == pytest.approx(154.2857, abs=0.0001)
    assert float(np.std(days)) == pytest.approx(181.0175, abs=0.0001)
    found = monotony(days)
    assert found == pytest.approx(0.8523, abs=0.0001)
    assert found is not None
    assert sum(days) * found == pytest.approx(920.51, abs=0.01)


def test_a_reviewed_week_has_the_same_load_and_monotony() -> None:
    """The same week as records: exactly 60, 50 and 60 min at effort 7, 6 and 6 on days 2, 4 and 6."""
    once = RoundsRange(min=1, max=1)
    records = []
    for day, minutes, effort in ((1, 60, 7), (3, 50, 6), (5, 60, 6)):
        six = tuple(HAND.model_copy(update={"slug": f"press-{number}"}) for number in range(6))
        slugs = [one.slug for one in six]
        each_s = minutes * 60 - 10 - 5 * 60
        made = session(
            plan(work(*slugs, rounds=once, work_s=each_s // 6, rest_s=60), movements=six),
            minutes=90,
            kit=Kit.pair,
        )
        assert made.total_ms == minutes * 60_000 - each_s % 6 * 1_000
        records.append(
            record(made, started_at=STARTED_AT + timedelta(days=day), record_id=f"day-{day}", effort=effort)
        )
    found = review_week(records, "2026-W10", all_activity_logged=True)
    loads = [0, 420, 0, 300, 0, 360, 0]
    assert found.session_load == pytest.approx(1_080, rel=0.001)
    assert found.monotony == pytest.approx(float(np.mean(loads) / np.std(loads)), rel=0.001)
    assert found.load_times_monotony == pytest.approx(920.51, rel=0.002)


def test_direct_and_indirect_sets_are_counted_as_in_pelland() -> None:
    """Pelland 2024: a direct set counts 1, an indirect one 0.5; 6 direct + 5 indirect = 8.5. Both are given
    apart, so that whoever reads them can count so."""
    direct = HAND.model_copy(update={"slug": "direct", "pattern": MovementPattern.squat, "also": ()})
    indirect = HAND.model_copy(
        update={"slug": "indirect", "pattern": MovementPattern.hinge, "also": (MovementPattern.squat,)}
    )
    rounds = {6: direct, 5: indirect}
    records = [
        record(
            session(
                plan(work(one.slug, rounds=RoundsRange(min=times, max=times)), movements=(one,)),
                minutes=20,
                kit=Kit.pair,
            ),
            record_id=one.slug,
        )
        for times, one in rounds.items()
    ]
    found = {one.pattern: one for one in review_week(records, "2026-W10").patterns}[MovementPattern.squat]
    assert (found.sets, found.indirect_sets) == (6, 5)
    assert found.sets + found.indirect_sets / 2 == 8.5


@pytest.mark.parametrize(
    ("days", "enough"), [((0, 0, 0), False), ((0, 3), True), ((0, 3, 3, 5), True), ((), False)]
)
def test_strength_days_are_the_distinct_dates_that_the_guideline_counts(
    days: tuple[int, ...], enough: bool
) -> None:
    """WHO 2020, BJSM 54:1451: muscle-strengthening on 2 or more days a week. Judge: numpy, distinct dates."""
    records = [
        record(started_at=STARTED_AT + timedelta(days=day, hours=number), record_id=f"{number}")
        for number, day in enumerate(days)
    ]
    theirs = np.unique(np.array([str(one.local_date) for one in records], dtype="datetime64[D]"))
    found = review_week(records, "2026-W10").strength_days
    assert found == len(theirs)
    assert (found >= 2) == enough


def test_the_volume_of_a_week_agrees_with_numpy() -> None:
    """Volume load is repetitions × load, where a pair counts two weights (common practice, no source)."""
    made = session(plan(work(HAND.slug, rounds=RoundsRange(min=3, max=3))), minutes=20, kit=Kit.pair)
    loads_g = (6_000, 7_500, 11_340)
    records = [
        record(
            made,
            record_id=f"{load_g}",
            started_at=STARTED_AT + timedelta(days=n),
            loads_g={HAND.slug: load_g},
        )
        for n, load_g in enumerate(loads_g)
    ]
    repetitions = np.array([[done.planned_repetitions or 0 for done in one.sets] for one in records])
    assert repetitions.shape == (3, 3)
    theirs = 2 * int((repetitions * np.array(loads_g)[:, None]).sum())
    assert review_week(records, "2026-W10").volume_g == theirs
