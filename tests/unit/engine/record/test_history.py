"""What earlier sessions say about the next one."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from builders import (
    BEND,
    BOTH,
    STARTED_AT,
    TURN,
    journal,
    logged,
    pain,
    plan,
    practice,
    record,
    session,
    warm_up,
    work,
)

from engine.load.clear import CLEAR_SESSIONS
from engine.plan.plan import Amount, RoundsRange
from engine.record.amendment import Amendment
from engine.record.history import DAYS_KEPT, TICKS_KEPT, History, history_of, merged, ticked_items
from engine.record.record import Record
from engine.session.fitted import FittedSession
from engine.session.pace import PersonalPace, item_key

BEND_KEY, TURN_KEY = item_key(BEND.slug, Amount(low=10)), item_key(TURN.slug, Amount(low=10))
ONE_ROUND = RoundsRange(min=1, max=1)


def with_warm_up(**asked: object) -> FittedSession:
    """An item of 60 s and one of 90 s, once, before the work."""
    return session(plan(warm_up(rounds=ONE_ROUND), work(BOTH.slug)), minutes=12, **asked)


def run_with(*events: tuple[str, int], of: FittedSession | None = None) -> Record:
    """The record of a session that ended a second after the last of these events."""
    run = journal(of or with_warm_up())
    for kind, session_ms in events:
        run.write(kind, session_ms)
    return logged(run.write("ended", run.state.at_ms + 1_000, ending="early"))


def ticks(of: Record) -> list[tuple[str, int, int]]:
    return [(one.item, one.stated_ms, one.taken_ms) for one in ticked_items(of)]


def test_a_ticked_item_says_what_it_took_beside_what_is_stated() -> None:
    made = run_with(("ticked", 48_000), ("ticked", 148_000))
    assert ticks(made) == [(BEND_KEY, 60_000, 48_000), (TURN_KEY, 90_000, 100_000)]
    assert [one.at for one in ticked_items(made)] == [STARTED_AT, STARTED_AT + timedelta(seconds=48)]


def test_a_pause_is_no_part_of_the_time_taken() -> None:
    made = run_with(("paused", 20_000), ("resumed", 500_000), ("ticked", 525_000))
    assert ticks(made) == [(BEND_KEY, 60_000, 45_000)]


def test_what_was_skipped_or_left_says_nothing_about_the_pace() -> None:
    assert ticks(run_with(("skipped", 30_000), ("ticked", 110_000))) == [(TURN_KEY, 90_000, 80_000)]
    assert ticks(run_with(("redone", 30_000), ("ticked", 80_000))) == [(BEND_KEY, 60_000, 50_000)]


def test_a_session_planned_at_ones_own_pace_is_still_compared_with_what_is_stated() -> None:
    own = PersonalPace(usual=900, items=((BEND_KEY, 1_250),))
    made = run_with(("ticked", 75_000), ("ticked", 156_000), of=with_warm_up(pace=own))
    assert ticks(made) == [(BEND_KEY, 60_000, 75_000), (TURN_KEY, 90_000, 81_000)]


def test_a_tick_is_sound_unless_its_position_was_lost_or_something_hurt_in_it() -> None:
    lost = run_with(("form_slipped", 20_000), ("ticked", 48_000), ("ticked", 148_000))
    assert [one.sound for one in ticked_items(lost)] == [False, True]
    dull = pain(movement=TURN.slug, rating=1)
    run = journal(with_warm_up()).write("ticked", 48_000).write("paused", 60_000)
    run.write("hurt", 61_000, pain=dull).write("resumed", 70_000).write("ticked", 148_000)
    hurt = logged(run.write("ended", run.state.at_ms + 1_000, ending="early"))
    assert [one.sound for one in ticked_items(hurt)] == [True, False]


def test_practice_by_repetitions_teaches_too_and_what_is_clocked_does_not() -> None:
    by_repetitions = practice(
        movements=(BOTH.slug,), timed=None, repetitions=Amount(low=3, high=5), usual="repetitions"
    )
    made = record(session(plan(by_repetitions, work(BOTH.slug))))
    assert ticks(made) == [(item_key(BOTH.slug, Amount(low=3, high=5)), 21_000, 21_000)]
    assert ticks(record()) == []


def test_only_the_newest_ticks_and_days_are_kept() -> None:
    of = with_warm_up()
    days = [STARTED_AT + timedelta(days=number) for number in range(DAYS_KEPT + 3)]
    held = history_of(record(of, started_at=day, record_id=f"{day}") for day in days)
    assert held.days == tuple(day.date() for day in days[3:])
    assert [one.at for one in held.ticked if one.item == BEND_KEY] == days[-TICKS_KEPT:]


def test_of_a_movement_three_times_the_sessions_of_a_step_are_kept() -> None:
    """† Our judgement, no source."""
    days = [STARTED_AT + timedelta(days=number) for number in range(3 * CLEAR_SESSIONS + 2)]
    held = history_of(record(started_at=day, record_id=f"{day}") for day in days)
    assert [one.started_at for one in held.exposures] == days[2:]


def test_no_records_have_an_empty_history() -> None:
    assert history_of([]) == merged([]) == History()


def test_two_sessions_on_one_day_are_one_day() -> None:
    evening = STARTED_AT + timedelta(hours=2)
    both = [record(), record(started_at=evening, record_id="record-2")]
    assert history_of(both).days == (date(2026, 3, 2),)


def morning(id: str, of: str, at: datetime, rating: object) -> Amendment:
    """What is answered of the left knee the morning after."""
    value = {"joint": "knee", "side": "left", "rating": rating}
    return Amendment(id=id, record_id=of, at=at, field="next_morning_pain", value=value)


def test_the_answer_of_the_next_morning_stays_with_its_session() -> None:
    """The latest answer counts; anything but a number from 0 to 10 is ignored."""
    answers = [("a", 0, 4), ("b", 1, 1), ("c", 2, "none"), ("d", 3, 11)]
    late = [
        morning(id, "record-1", STARTED_AT + timedelta(hours=hours), value)
        for id, hours, value in reversed(answers)
    ]
    made = [record(), record(record_id="record-2", started_at=STARTED_AT + timedelta(days=2))]
    assert [one.pain for one in history_of(made, late).exposures] == [1, 0]


def test_the_history_until_a_day_is_that_of_the_sessions_up_to_it() -> None:
    first, second = record(), record(started_at=STARTED_AT + timedelta(days=7), record_id="later")
    both = history_of((first, second))
    assert both.until(first.local_date) == history_of((first,))
    assert both.until(second.local_date) == both
    assert both.until(first.local_date - timedelta(days=1)) == History()
    answers = [morning(one.id, one.id, one.started_at + timedelta(hours=14), 1) for one in (first, second)]
    answered = history_of((first, second), answers)
    assert answered.until(first.local_date).mornings == answered.mornings[:1]
