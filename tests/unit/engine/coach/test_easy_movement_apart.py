"""What the coach reads of easy movement: it stands apart from the sessions, and never where pain is kept
back."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta

import pytest
from builders import STARTED_AT, Journal, easy_session, logged, pain, record
from page_sentences import written
from pages import WEEK, page, without
from pydantic import ValidationError

from companion.words.lines import line_text
from engine.coach import figures, pain_lines
from engine.coach.page import CoachPage
from engine.coach.questions import week_questions
from engine.coach.roster import in_full, roster
from engine.coach.session_report import SessionReport, counted, easy_movements, report_of
from engine.coach.spreadsheet import sessions_csv, sets_csv
from engine.coach.trend import given_up_most, load_trends, pattern_trends, sides_trends
from engine.coach.withheld import PageChoice
from engine.record.record import Record

APART = "Easy movement, 8 min."


def easy(days: int = 1, **answers: object) -> Record:
    at = STARTED_AT + timedelta(days=days)
    return record(easy_session(), started_at=at, record_id=f"easy-{days}", **answers)


def report(of: Record) -> SessionReport:
    return report_of(of, (), PageChoice())


def test_a_report_says_what_it_is() -> None:
    assert report(easy()).easy_movement
    assert (report(easy()).rounds_planned, report(easy()).rounds_done, report(easy()).movements) == (
        (),
        (),
        (),
    )
    both = (report(record()), report(easy()))
    assert (counted(both), easy_movements(both)) == (both[:1], both[1:])


def test_its_sentence_has_no_rounds_and_no_kit() -> None:
    assert line_text(figures.session_line(report(easy(effort=2)))) == (
        "Tuesday 3 March: Easy movement, 8 min. Effort 2 of 10."
    )


def test_the_week_has_a_sentence_of_its_own_for_it() -> None:
    made = page([record(effort=6), easy(effort=2)])
    alone = page([record(effort=6)])
    told = line_text(figures.week_line(made.reviews[0], made.sessions))
    assert told == f"{line_text(figures.week_line(alone.reviews[0], alone.sessions))} {APART}"
    twice = page([easy(), easy(2)])
    said = line_text(figures.week_line(twice.reviews[0], twice.sessions))
    assert said == "Week 10, from 2 March 2026: No session. Easy movement 2 times, 16 min."


def test_the_page_is_one_of_sessions_with_it_beside_them() -> None:
    made = page([record(), easy()])
    assert (made.reviews[0].sessions, len(made.sessions)) == (1, 2)
    assert made.plans == ("Test plan",)
    assert CoachPage.model_validate_json(made.model_dump_json()) == made
    as_session = made.sessions[1].model_copy(update={"easy_movement": False})
    counted_in = made.model_dump() | {"sessions": (made.sessions[0], as_session)}
    with pytest.raises(ValidationError, match="page_contradicts_itself"):
        CoachPage.model_validate(counted_in)


def test_a_person_s_paragraph_counts_sessions_and_then_says_it() -> None:
    (person,) = roster([page([record(), easy(effort=3)])])
    said = written(in_full(person))
    assert "Done: 1 session, 3 min. 2 of 2 rounds." in said
    assert said[said.index("Done: 1 session, 3 min. 2 of 2 rounds.") + 1] == APART
    (resting,) = roster([page([easy()])])
    told = written(in_full(resting))
    assert told[told.index("Done: No session.") + 1] == APART


def test_what_hurt_before_and_in_it_is_told_like_any_pain() -> None:
    run = Journal(easy_session()).write("started", 0)
    run.write("hurt", 60_000, pain=pain(session_ms=60_000, movement="arm-circles", rating=6))
    made = report(logged(run.write("ended", 61_000, ending="pain")))
    assert written(pain_lines.pain(made)) == [
        "Monday 2 March, before the easy movement: left knee, pain 7 of 10.",
        "Monday 2 March: The easy movement was stopped for pain.",
        "Monday 2 March, Arm circles: left knee, pain 6 of 10.",
    ]


def test_trends_know_nothing_of_it() -> None:
    made, alone = page([record(effort=6), easy(effort=2)]), page([record(effort=6)])
    assert pattern_trends(made.reviews) == pattern_trends(alone.reviews)
    assert load_trends(made.sessions, (WEEK,)) == load_trends(alone.sessions, (WEEK,))
    assert sides_trends(made.sessions) == sides_trends(alone.sessions)
    assert given_up_most(made.sessions) == given_up_most(alone.sessions)


def test_no_question_is_asked_about_it() -> None:
    sunday = date(2026, 3, 8)
    made, alone = page([record(), easy(), easy(2)]), page([record()])
    assert week_questions(made.sessions, (), (), today=sunday) == week_questions(
        alone.sessions, (), (), today=sunday
    )


def test_a_table_of_sessions_says_which_line_is_none() -> None:
    lines = list(csv.DictReader(io.StringIO(sessions_csv((report(record()), report(easy()))), newline="")))
    assert [one["easy_movement"] for one in lines] == ["no", "yes"]
    assert lines[1]["rounds_planned"] == "0"
    assert sets_csv((report(easy()),)) == ""


def test_whoever_keeps_pain_back_keeps_it_back_too() -> None:
    """It tells of pain of 6 or more, whatever else it says."""
    kept_back = page([record(), easy()], choice=without("pain"))
    assert kept_back == page([record()], choice=without("pain"))
    assert "asy movement" not in kept_back.model_dump_json()
    assert page([easy()], choice=without("pain")).sessions == ()
