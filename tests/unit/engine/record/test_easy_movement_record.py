"""Easy movement is recorded, and nothing counts it as a session: a test for each place that counts."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from builders import STARTED_AT, Journal, easy_session, logged, pain, plan, record, session

from companion.words.words import ENGLISH
from engine.fit.choose import choose
from engine.growth.lighter_week import lighter_week
from engine.movements.movement import Joint, Kit, Side
from engine.record.amendment import AmendedField, Amendment
from engine.record.exposure import exposures_of
from engine.record.follow_up import follow_up
from engine.record.history import History, history_of
from engine.record.record import LogAnswers, Record
from engine.record.recording import sets_of
from engine.record.week import WeekReview, review_week
from engine.today.care import care_for
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.mornings import what_pain_changes, worse_mornings

WEEK = "2026-W10"


def easy(days: float = 1, **answers: object) -> Record:
    """Easy movement, some days after a session on Monday."""
    at = STARTED_AT + timedelta(days=days)
    return record(easy_session(), started_at=at, record_id=f"easy-{days}", **answers)


def morning(of: Record, rating: int) -> Amendment:
    said = {"joint": "knee", "side": "left", "rating": rating}
    at = of.ended_at + timedelta(hours=12)
    field = AmendedField.next_morning_pain
    return Amendment(id=f"morning-{of.id}", record_id=of.id, at=at, field=field, value=said)


def test_the_record_says_what_it_is_and_how_long_it_took() -> None:
    assert easy().session.easy_movement
    assert not record().session.easy_movement
    assert easy().active_ms == easy_session().total_ms


def test_it_has_no_sets_so_no_repetitions_no_loads_and_no_hard_sets() -> None:
    assert easy(effort=9).sets == ()
    assert sets_of(Journal(easy_session()).write("started", 0).state, LogAnswers()) == ()


def test_it_has_no_rounds() -> None:
    assert easy_session().rounds() == 0
    assert any(one.kind == "work" for one in easy_session().segments)


def test_no_exposure_comes_of_it_even_where_it_hurt() -> None:
    hurt = easy().model_copy(update={"pains": (pain(movement="arm-circles", rating=4),)})
    assert exposures_of(hurt) == exposures_of(easy(), next_morning_pain=3) == ()


def test_the_history_keeps_of_it_only_when_it_was_and_what_it_says_of_pain() -> None:
    quiet = history_of([easy()])
    assert quiet == History(started=(easy().started_at,))
    hurt = easy().model_copy(update={"pains": (pain(movement="arm-circles", rating=4),)})
    told = history_of([hurt], [morning(hurt, 8)])
    assert [one.movement for one in told.flagged] == ["arm-circles"]
    assert [one.rating for one in told.pains] == [4, 8]
    assert [one.rating for one in told.mornings] == [8]
    assert (told.days, told.exposures, told.tried, told.ticked) == ((), (), (), ())


def test_side_and_pace_are_learned_from_sessions_alone() -> None:
    sessions = [record(session(plan(), minutes=30))]
    without, beside = (
        Learned.from_history(history_of(records)) for records in (sessions, [*sessions, easy(), easy(2)])
    )
    assert (beside.first_side, beside.pace) == (without.first_side, without.pace)
    assert beside.history.exposures == without.history.exposures


def test_time_away_and_practice_of_14_days_do_not_see_it() -> None:
    """Easy movement yesterday makes nobody fresh: three weeks after the session the practice stays."""
    written, today = plan(), Today(day=STARTED_AT.date() + timedelta(days=21), minutes=30, kit=Kit.single)
    choice = choose(written, today.room(()))
    done = record(session(written))
    cares = [care_for(written, choice, history_of(of), today) for of in ([done], [done, easy(20)])]
    assert cares[0] == cares[1]
    assert cares[1].practice_required
    assert ENGLISH.say(cares[1].said[0]).startswith("21 days since the last session")


def test_a_lighter_week_is_proposed_for_weeks_of_sessions_alone() -> None:
    day = STARTED_AT.date() + timedelta(weeks=6)
    assert not lighter_week(history_of(easy(7 * week) for week in range(6)), day)
    sessions = [
        record(started_at=STARTED_AT + timedelta(weeks=week), record_id=f"week-{week}") for week in range(6)
    ]
    assert lighter_week(history_of(sessions), day)


def test_the_figures_of_the_week_are_those_without_it_and_name_it_apart() -> None:
    done = [record(effort=6)]
    alone, beside = review_week(done, WEEK), review_week([*done, easy(effort=3), easy(2)], WEEK)
    apart = {"easy_movements": 2, "easy_minutes": 2 * easy_session().total_ms / 60_000}
    assert beside == alone.model_copy(update=apart)
    complete = [review_week(of, WEEK, all_activity_logged=True) for of in (done, [*done, easy(effort=3)])]
    assert complete[0].monotony == complete[1].monotony is not None


def test_a_week_of_nothing_else_has_no_session() -> None:
    review = review_week([easy(effort=2)], WEEK)
    expected = WeekReview(iso_week=WEEK, easy_movements=1, easy_minutes=easy_session().total_ms / 60_000)
    assert review == expected
    assert (review.sessions, review.strength_days, review.minutes) == (0, 0, 0)


def test_what_hurt_in_it_is_among_the_pain_of_the_week() -> None:
    hurt = Journal(easy_session()).write("started", 0)
    hurt.write("hurt", 60_000, pain=pain(session_ms=60_000, rating=7))
    saved = logged(hurt.write("ended", 60_000, ending="pain"))
    review = review_week([saved], WEEK)
    assert [one.note.rating for one in review.pains] == [7]
    assert review.stopped_for_pain == 0, "no session was stopped"


@pytest.mark.parametrize("hours, asked", [(0.75, False), (10, True), (60, True), (90, False)])
def test_the_morning_after_is_asked_and_nothing_else(hours: float, asked: bool) -> None:
    """Half an hour later a session's effort is asked again, and on the next days how sore the muscles are."""
    done = easy(0)
    found = follow_up([done], [], later(done, hours))
    assert (found is not None) is asked
    if found is not None:
        assert found.easy_movement
        assert found.asks_joints
        assert (found.asks_effort, found.asks_soreness) == (False, False)
        assert found.joints == ((Joint.knee, Side.left),)


def test_on_its_day_the_session_of_the_evening_before_is_still_asked_about() -> None:
    """Monday evening a session, Tuesday a knee at 7 and easy movement: Monday's morning after is not lost."""
    trained, moved = record(), easy(0.6)
    assert moved.local_date == trained.local_date + timedelta(days=1)
    found = follow_up([trained, moved], [], later(moved, 1))
    assert found is not None
    assert (found.record_id, found.asks_joints, found.asks_soreness) == (trained.id, True, True)
    next_day = follow_up([trained, moved], [], later(moved, 24))
    assert next_day is not None
    assert (next_day.record_id, next_day.easy_movement) == (moved.id, True)
    assert follow_up([trained, moved], [morning(moved, 5)], later(moved, 24)) is None, "asked once a morning"


def test_once_the_morning_is_answered_nothing_is_open() -> None:
    done = easy(0)
    assert follow_up([done], [morning(done, 5)], later(done, 14)) is None


def later(done: Record, hours: float) -> datetime:
    return done.ended_at + timedelta(hours=hours)


def test_a_morning_that_is_worse_after_it_counts_as_after_any_session() -> None:
    done = easy(0)
    (worse,) = worse_mornings(history_of([done], [morning(done, 8)]))
    assert (worse.before, worse.rating) == (7, 8)


def test_a_quiet_morning_after_the_first_easy_movement_of_all_is_no_trouble() -> None:
    """Fixed: without any session there was no last day of one to compare with."""
    done = easy(0)
    assert list(what_pain_changes(history_of([done], [morning(done, 2)]), (), (), ())) == []
    assert history_of([done]).days == tuple[date]()
