"""The week in figures."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import (
    BOTH,
    HAND,
    LEG,
    STARTED_AT,
    journal,
    logged,
    pain,
    plan,
    profile,
    record,
    session,
    short_session,
    work,
)

from engine.movements.movement import Kit, MovementPattern, StartsWith
from engine.plan.plan import RoundsRange
from engine.record.record import LogAnswers, Record, SetAnswer, set_key
from engine.record.recording import record_from
from engine.record.sets import held_s_of, is_worked, repetitions_of
from engine.record.week import PatternWeek, WeekReview, monotony, review_week, rounds_done
from engine.session.to_lift import ToLift

WEEK = "2026-W10"
ONE_ROUND = RoundsRange(min=1, max=1)


def reviewed(*records: Record, **options: bool) -> WeekReview:
    return review_week(records, WEEK, **options)


def pattern(review: WeekReview, name: MovementPattern) -> PatternWeek:
    return next(one for one in review.patterns if one.pattern is name)


def test_an_empty_week_has_only_noughts() -> None:
    assert reviewed() == WeekReview(iso_week=WEEK)


def test_records_of_other_weeks_are_passed_over() -> None:
    other = record(started_at=STARTED_AT + timedelta(days=7), record_id="later")
    assert reviewed(record(), other) == reviewed(record())


def test_done_stands_against_planned() -> None:
    run = journal().write("ended", 125_000, ending="early")
    half = record_from(
        run.state,
        LogAnswers(),
        record_id="half",
        profile=profile(),
        started_at=STARTED_AT,
        ended_at=STARTED_AT,
    )
    found = reviewed(record(), half)
    assert (found.sessions, found.rounds_done, found.rounds_planned) == (2, 3, 4)
    assert found.minutes == (180 + 125) / 60


def test_two_sides_make_one_set() -> None:
    assert pattern(reviewed(record()), MovementPattern.vertical_push).sets == 2


def test_an_interval_passed_through_in_a_second_is_no_set_and_makes_no_strength_day() -> None:
    run = journal().write("skipped", 11_000).write("ended", 12_000, ending="early")
    passed = record_from(
        run.state,
        LogAnswers(),
        record_id="passed",
        profile=profile(),
        started_at=STARTED_AT,
        ended_at=STARTED_AT,
    )
    found = reviewed(passed)
    assert (found.sessions, found.patterns, found.strength_days) == (1, (), 0)


def test_a_strength_day_needs_a_whole_set_with_both_its_sides() -> None:
    for ended_ms, days in ((18_000, 0), (45_000, 0), (75_000, 0), (80_000, 1), (90_000, 1)):
        found = reviewed(logged(journal().write("ended", ended_ms, ending="early")))
        assert found.strength_days == days, ended_ms


def test_a_pair_counts_twice_one_weight() -> None:
    made = session(plan(work(HAND.slug, rounds=ONE_ROUND)), kit=Kit.pair)
    found = pattern(reviewed(record(made, loads_g={HAND.slug: 8_000})), MovementPattern.vertical_push)
    assert (found.sets, found.volume_g, found.bodyweight_repetitions) == (1, 15 * 2 * 8_000, 0)
    assert found.time_under_load_ms == 60_000


def test_repetitions_that_were_counted_replace_the_prediction() -> None:
    key = set_key("circuit", 1, 1, BOTH.slug, side="both")  # type: ignore[arg-type]
    made = session(plan(work(BOTH.slug, rounds=ONE_ROUND)))
    counted = record(made, exceptions={key: SetAnswer(load_g=10_000, repetitions=12)})
    assert pattern(reviewed(counted), MovementPattern.hinge).volume_g == 120_000


def test_bodyweight_is_listed_apart() -> None:
    made = session(plan(work(BOTH.slug, rounds=ONE_ROUND)), kit=Kit.none)
    found = pattern(reviewed(record(made)), MovementPattern.hinge)
    assert (found.volume_g, found.bodyweight_repetitions) == (0, 15)


def test_a_version_with_a_dumbbell_done_without_one_adds_repetitions_without_a_weight() -> None:
    made = session(plan(work(BOTH.slug, rounds=ONE_ROUND)))
    found = pattern(reviewed(record(made, loads_g={BOTH.slug: 0})), MovementPattern.hinge)
    assert (found.sets, found.volume_g, found.bodyweight_repetitions) == (1, 0, 15)
    unknown = pattern(reviewed(record(made)), MovementPattern.hinge)
    assert (unknown.volume_g, unknown.bodyweight_repetitions) == (0, 0), "a load that nobody said is no 0"


def test_a_pattern_trained_besides_another_has_its_sets_apart() -> None:
    also = LEG.model_copy(update={"also": (MovementPattern.trunk,), "slug": "also-trunk"})
    made = session(plan(work(also.slug, rounds=ONE_ROUND), movements=(also,)))
    found = reviewed(record(made))
    own, besides = pattern(found, MovementPattern.lunge), pattern(found, MovementPattern.trunk)
    assert (own.sets, own.indirect_sets, besides.sets, besides.indirect_sets) == (1, 0, 0, 1)
    assert besides.volume_g == 0


def test_a_side_alone_is_no_set_but_its_work_counts() -> None:
    run = journal(short_session().with_loads({HAND.slug: ToLift(load_g=8_000)})).write("skipped", 45_000)
    found = pattern(
        reviewed(logged(run.write("ended", 50_000, ending="early"))), MovementPattern.vertical_push
    )
    assert (found.sets, found.stopped_sets, found.volume_g) == (0, 1, 7 * 8_000)


def test_a_side_stopped_before_its_end_leaves_no_set_hard_or_not_but_its_work() -> None:
    right = set_key("circuit", 1, 1, HAND.slug, side="right")  # type: ignore[arg-type]
    left = set_key("circuit", 1, 1, HAND.slug, side="left")  # type: ignore[arg-type]
    said = {left: SetAnswer(effort=8, repetitions=7), right: SetAnswer(effort=9, repetitions=1)}
    for ended_ms, sets in ((60_000, 0), (85_000, 1)):
        stopped = journal().write("ended", ended_ms, ending="pain")
        found = pattern(reviewed(logged(stopped, exceptions=said)), MovementPattern.vertical_push)
        assert found.stopped_sets == 1 - sets
        assert (found.sets, found.rated_sets, found.hard_sets) == (sets, sets, sets)
        assert found.bodyweight_repetitions == 0
        assert found.time_under_load_ms >= 30_000


def test_a_hold_counts_seconds_and_no_repetitions() -> None:
    hold = BOTH.model_copy(update={"slug": "long-hold", "starts_with": StartsWith.hold})
    made = session(plan(work(hold.slug, rounds=ONE_ROUND), movements=(hold,)))
    (done,) = record(made, loads_g={hold.slug: 8_000}).sets
    assert (done.is_hold, done.tempo, repetitions_of(done), held_s_of(done)) == (True, None, None, 60)
    found = pattern(reviewed(record(made, loads_g={hold.slug: 8_000})), MovementPattern.hinge)
    assert (found.sets, found.volume_g, found.bodyweight_repetitions, found.held_s) == (1, 0, 0, 60)
    key = set_key("circuit", 1, 1, hold.slug, side="both")  # type: ignore[arg-type]
    (said,) = record(made, exceptions={key: SetAnswer(held_s=42)}).sets
    assert held_s_of(said) == 42
    (none,) = record(made, exceptions={key: SetAnswer(held_s=0)}).sets
    assert not is_worked(none)


def test_rounds_are_told_for_each_block() -> None:
    two = RoundsRange(min=2, max=2)
    of = plan(work(BOTH.slug, rounds=two, id="first"), work(HAND.slug, rounds=two, id="second"))
    made = session(of, minutes=30)
    assert made.rounds_by_block() == rounds_done(record(made)) == (2, 2)


def test_an_accessory_is_no_set_of_its_pattern_nor_of_one_it_trains_besides() -> None:
    calf = BOTH.model_copy(
        update={
            "slug": "calf-raise",
            "pattern": MovementPattern.squat,
            "also": (MovementPattern.lunge,),
            "accessory": True,
        }
    )
    made = session(plan(work(calf.slug, rounds=ONE_ROUND), movements=(calf,)))
    found = reviewed(record(made, loads_g={calf.slug: 10_000}))
    assert found.patterns == ()
    assert (found.accessories.sets, found.accessories.volume_g, found.volume_g) == (1, 150_000, 150_000)
    assert found.strength_days == 1


@pytest.mark.parametrize("effort, rated, hard", [(None, 0, 0), (5.5, 1, 0), (6, 1, 1), (10, 1, 1)])
def test_a_hard_set_has_four_or_fewer_in_reserve(effort: float | None, rated: int, hard: int) -> None:
    key = set_key("circuit", 1, 1, BOTH.slug, side="both")  # type: ignore[arg-type]
    made = session(plan(work(BOTH.slug, rounds=ONE_ROUND)))
    found = reviewed(record(made, exceptions={key: SetAnswer(effort=effort)}))
    of_pattern = pattern(found, MovementPattern.hinge)
    assert (of_pattern.rated_sets, of_pattern.hard_sets) == (rated, hard)


def test_strength_days_are_distinct_local_dates() -> None:
    same_day = record(started_at=STARTED_AT + timedelta(hours=2), record_id="second")
    next_day = record(started_at=STARTED_AT + timedelta(days=1), record_id="third")
    assert reviewed(record(), same_day, next_day).strength_days == 2


def test_a_session_whose_effort_was_not_said_is_left_out_of_the_load_and_counted() -> None:
    found = reviewed(record(effort=7), record(record_id="second"))
    assert (found.session_load, found.sessions_without_effort) == (21, 1)


def test_monotony_is_told_only_where_all_activity_is_logged_and_every_effort_said() -> None:
    assert reviewed(record(effort=7)).monotony is None
    assert reviewed(record(effort=7), record(record_id="x"), all_activity_logged=True).monotony is None
    complete = reviewed(record(effort=7), all_activity_logged=True)
    assert complete.monotony is not None
    assert complete.load_times_monotony == pytest.approx(21 * complete.monotony)


def test_monotony_is_not_defined_where_every_day_is_the_same() -> None:
    assert monotony([100] * 7) is None


def test_pain_stands_in_the_week_with_its_date() -> None:
    run = journal().write("hurt", 21_000, pain=pain(rating=4)).write("ended", 22_000, ending="pain")
    made = record_from(
        run.state, LogAnswers(), record_id="r", profile=profile(), started_at=STARTED_AT, ended_at=STARTED_AT
    )
    found = reviewed(made)
    assert found.stopped_for_pain == 1
    assert [(line.local_date, line.note.rating) for line in found.pains] == [(STARTED_AT.date(), 4)]
