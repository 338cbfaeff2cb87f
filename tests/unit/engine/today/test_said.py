"""What of what was said about today still counts."""

from __future__ import annotations

from datetime import timedelta

from builders import STARTED_AT

from engine.movements.movement import Joint, Side
from engine.movements.room import SoreJoint
from engine.record.joint_pain import JointPain, ToldIn
from engine.today.said import SaidToday, pruned, still_counts, with_joint, with_pressure, with_sore_muscles

KNEE = (Joint.knee, Side.left)
ELBOW = (Joint.elbow, Side.right)
HOUR = timedelta(hours=1)
NOW = STARTED_AT
TOMORROW = STARTED_AT.replace(hour=4, minute=0) + timedelta(days=1)


def knee(rating: int, at=NOW, **fields: object) -> JointPain:
    return JointPain(at=at, joint=Joint.knee, side=Side.left, rating=rating, **fields)


def sore(rating: int) -> tuple[SoreJoint, ...]:
    return (SoreJoint(joint=Joint.knee, side=Side.left, rating=rating),)


def said(knee_rating: int, at=NOW) -> SaidToday:
    return with_joint(None, KNEE, knee_rating, at)


def test_what_was_said_counts_until_four_the_next_morning_and_nothing_of_it_then() -> None:
    everything = with_sore_muscles(with_joint(said(4), ELBOW, 0, NOW), 5, NOW)
    late = still_counts(everything, (), TOMORROW - timedelta(seconds=1))
    assert (late.sore, late.rated, late.sore_muscles) == (sore(4), {KNEE, ELBOW}, 5)
    over = still_counts(everything, (), TOMORROW)
    assert (over.sore, over.rated, over.spared, over.sore_muscles) == ((), frozenset(), (), 0)


def test_a_blood_pressure_too_high_counts_until_the_day_ends_whatever_else_is_said() -> None:
    high = with_pressure(said(4), True, NOW)
    for later in (with_joint(high, ELBOW, 0, NOW + HOUR), with_sore_muscles(high, 5, NOW + HOUR)):
        assert still_counts(later, (), NOW + 2 * HOUR).pressure_high is True
        assert pruned(later, (), NOW + 2 * HOUR).pressure_high is True
        assert still_counts(later, (), TOMORROW).pressure_high is None
        assert pruned(later, (), TOMORROW).pressure_high is None
        assert with_sore_muscles(later, 0, TOMORROW).pressure_high is None
    lower = with_pressure(high, False, NOW + HOUR)
    assert still_counts(lower, (), NOW + HOUR).pressure_high is False
    assert still_counts(lower, (), NOW + HOUR).sore == sore(4)


def test_each_answer_ends_with_its_own_day() -> None:
    morning = with_joint(said(4), ELBOW, 2, TOMORROW)
    assert still_counts(morning, (), TOMORROW).rated == {ELBOW}


def test_a_saved_session_ends_free_of_pain_and_never_pain() -> None:
    answers = with_joint(said(4), ELBOW, 0, NOW)
    after = still_counts(answers, (), NOW + 2 * HOUR, last_started=NOW + HOUR)
    assert (after.sore, after.rated) == (sore(4), {KNEE})
    again = with_joint(answers, ELBOW, 0, NOW + 2 * HOUR)
    assert ELBOW in still_counts(again, (), NOW + 2 * HOUR, last_started=NOW + HOUR).rated


def test_a_pain_note_ends_what_was_said_of_its_joint_before_it_and_counts_itself() -> None:
    before = with_joint(said(0), ELBOW, 2, NOW)
    noted = still_counts(before, [knee(5, NOW + HOUR)], NOW + 2 * HOUR)
    assert noted.rated == {ELBOW}
    assert SoreJoint(joint=Joint.knee, side=Side.left, rating=5) in noted.sore


def test_a_note_that_names_no_side_ends_what_was_said_of_both_sides() -> None:
    unsided = JointPain(at=NOW + HOUR, joint=Joint.knee, rating=2)
    assert KNEE not in still_counts(said(0), [unsided], NOW + HOUR).rated


def test_an_answer_given_after_the_pain_counts_unless_movements_were_left_out_for_it() -> None:
    later, at = said(1, NOW + 2 * HOUR), NOW + HOUR
    for told, rating in (
        (knee(2, at), 1),
        (knee(3, at), 3),
        (knee(5, at, told_in=ToldIn.note), 1),
        (knee(6, at, told_in=ToldIn.note), 6),
        (knee(6, at, told_in=ToldIn.morning), 1),
    ):
        assert still_counts(later, [told], NOW + 3 * HOUR).sore == sore(rating)
        assert still_counts(said(1, TOMORROW), [told], TOMORROW).sore == sore(1)


def test_after_a_sign_of_injury_no_answer_of_the_same_day_lets_anything_load_the_joint() -> None:
    later, sharp = said(0, NOW + 2 * HOUR), [knee(3, NOW + HOUR, sign=True)]
    still = still_counts(later, sharp, NOW + 3 * HOUR)
    assert (still.sore, still.spared) == (sore(3), (KNEE,))
    worse = still_counts(said(7, NOW + 2 * HOUR), sharp, NOW + 3 * HOUR)
    assert worse.sore == sore(7)
    over = still_counts(said(0, TOMORROW), sharp, TOMORROW)
    assert (over.sore, over.spared, over.rated) == ((), (), {KNEE})


def test_the_worst_of_todays_notes_counts_until_the_person_says_another_number() -> None:
    notes = [knee(4, NOW), knee(0, NOW + HOUR)]
    assert still_counts(None, notes, NOW + HOUR).sore == sore(4)


def test_a_clock_that_was_set_back_keeps_pain_and_takes_back_free_of_pain() -> None:
    assert still_counts(said(4), (), NOW - HOUR).sore == sore(4)
    assert still_counts(said(0), (), NOW - HOUR).rated == frozenset()


def test_what_is_stored_no_longer_holds_what_has_ended() -> None:
    answers = with_sore_muscles(with_joint(said(0), ELBOW, 3, NOW), 4, NOW)
    kept = pruned(answers, (), NOW + 2 * HOUR, last_started=NOW + HOUR)
    assert ([one.point for one in kept.pains], kept.sore_muscles) == ([ELBOW], 4)
    gone = pruned(answers, (), TOMORROW)
    assert (gone.pains, gone.sore_muscles) == ((), 0)


def test_after_the_clock_was_set_back_what_is_said_now_and_what_was_told_ahead_of_it_both_count() -> None:
    ahead = knee(2, NOW + HOUR)
    assert still_counts(said(1), (ahead,), NOW).sore == sore(2)
    assert still_counts(said(3), (ahead,), NOW).sore == sore(3)
    assert pruned(said(3), (ahead,), NOW).pains == said(3).pains
    assert still_counts(said(3), (ahead,), NOW + HOUR).sore == sore(2), "then the later one counts"
