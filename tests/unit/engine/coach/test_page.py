"""What a page for the coach shows, and what it does not show when the person keeps something back."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from typing import Any

import pytest
from builders import STARTED_AT, record
from pages import MADE_AT, SIDE_LEFT, SPARED, WEEK, late_answers, page, painful_record, without
from pydantic import ValidationError

from engine.coach.page import CoachPage, PageAsked
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
from engine.record.amendment import amended
from engine.record.week import review_week

EVERYTHING = PageChoice()
BETRAYS_PAIN = re.compile(r"pain|hurt|sore|spare|sting|knee|elbow|joint|swap", re.IGNORECASE)


def written(page: CoachPage) -> dict[str, Any]:
    content: dict[str, Any] = page.model_dump(mode="json")
    return content


def test_a_page_has_the_figures_and_the_sessions_of_its_weeks_and_of_no_other() -> None:
    inside = record(record_id="inside")
    before = record(record_id="before", started_at=STARTED_AT - timedelta(days=1))
    made = page([inside, before], weeks=("2026-W10", "2026-W11"))
    assert [session.record_id for session in made.sessions] == ["inside"]
    assert made.reviews == (review_week([inside], "2026-W10"), review_week([], "2026-W11"))
    assert made.plans == ("Test plan",)


def test_sessions_stand_in_order_of_time_whatever_order_the_records_come_in() -> None:
    days = [record(record_id=f"day-{n}", started_at=STARTED_AT + timedelta(days=n)) for n in range(3)]
    assert page(reversed(days)) == page(days)


def test_the_person_is_called_as_the_person_chose() -> None:
    assert page([]).trainee.name == "Runa"
    assert page([], name="R.").trainee.name == "R."


def test_a_report_keeps_every_set_of_the_record_as_it_was_done() -> None:
    one = record(loads_g={"one-hand-press": 8_000})
    report = report_of(one, (), EVERYTHING)
    kept = [done for of_one in report.movements for done in of_one.sets_done()]
    assert sorted(kept, key=lambda done: done.key) == sorted(one.sets, key=lambda done: done.key)
    assert report.movements[0].name == "One hand press"


def test_a_report_shows_a_record_as_corrected_and_says_what_was_corrected() -> None:
    one, late = painful_record(), late_answers()
    report = report_of(one, late, EVERYTHING)
    assert (report.effort, report.note) == (6, "An easy day after all.")
    sets = [done for of_one in report.movements for done in of_one.sets_done()]
    assert sets == list(amended(one, late).sets)
    assert report.amendments == late
    assert next(done for done in sets if done.key == SIDE_LEFT).load_g == 8_000


def test_a_page_with_everything_tells_the_pain_and_what_followed_from_it() -> None:
    made = page([painful_record()], late_answers())
    session = made.sessions[0]
    assert session.ending == "pain"
    assert [(one.joint, one.rating) for one in session.sore] == [("knee", 2)]
    assert [(note.joint, note.rating) for note in session.pains] == [("elbow", 5)]
    assert [change.said for change in session.changes] == [(SPARED,)]
    assert made.reviews[0].stopped_for_pain == 1


def test_without_pain_nothing_on_the_page_betrays_it() -> None:
    made = page([painful_record()], late_answers(), choice=without("pain"))
    session = made.sessions[0]
    assert (session.ending, session.pains, session.sore, session.changes) == ("early", (), (), ())
    assert (made.reviews[0].stopped_for_pain, made.reviews[0].pains) == (0, ())
    content = written(made)
    assert content["choice"].pop("pain") is False
    assert [content.pop(name) for name in ("after_pain", "pain_notes")] == [[], []]
    for review in content["reviews"]:  # field names, which are on every page
        assert review.pop("stopped_for_pain") == 0
        assert review.pop("pains") == []
    for one in content["sessions"]:
        assert one.pop("record_id") == "painful"
        assert [one.pop(name) for name in ("pains", "sore")] == [[], []]
        for late in one["amendments"]:
            assert late.pop("record_id") == "painful"
            assert late.pop("id").startswith("painful-")
    assert BETRAYS_PAIN.findall(json.dumps(content)) == []


def test_without_pain_what_the_fit_gave_up_for_time_still_stands_there() -> None:
    made = page([painful_record()], choice=without("pain"))
    assert [reason.code for reason in made.sessions[0].reasons] == ["hand_change"]


@pytest.mark.parametrize(
    ("part", "names"),
    [("loads", {"load_g", "volume_g"}), ("effort", {"effort", "session_load"}), ("notes", {"note"})],
)
def test_what_is_kept_back_is_nowhere_on_the_page(part: str, names: set[str]) -> None:
    def values(content: object) -> list[object]:
        if isinstance(content, dict):
            own = [value for name, value in content.items() if name in names and not isinstance(value, dict)]
            return own + [found for value in content.values() for found in values(value)]
        return [found for value in content for found in values(value)] if isinstance(content, list) else []

    said = {field for field in ("effort", "note") if field in names}
    made = written(page([painful_record()], late_answers(), choice=without(part)))
    assert {repr(value) for value in values(made["sessions"]) + values(made["reviews"])} <= {
        *("None", "0", "0.0", "''")
    }
    assert not said & {late["field"] for late in made["sessions"][0]["amendments"]}


def test_without_what_was_given_up_neither_the_fit_nor_the_run_says_so() -> None:
    session = page([painful_record()], choice=without("given_up")).sessions[0]
    assert (session.reasons, session.changes) == ((), ())
    assert session.pains


def test_a_page_says_what_was_left_out() -> None:
    assert page([], choice=without("pain", "notes")).choice.left_out == ("pain", "notes")
    assert page([]).choice.left_out == ()


@pytest.mark.parametrize("week", ["2025-W53", "2026-W00", "2026-W60", "9999-W52", "2026-11", "2026-W٠٩"])
def test_a_week_that_is_none_is_refused(week: str) -> None:
    with pytest.raises(ValidationError):
        PageAsked(weeks=(week,))


def a_page() -> dict[str, Any]:
    return written(page([record()]))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"weeks": ["2026-W11", "2026-W10"]}, "page_contradicts_itself"),
        ({"weeks": ["2026-W10", "2026-W11"]}, "page_contradicts_itself"),
        ({"weeks": ["2026-W11"]}, "page_contradicts_itself"),
        ({"sessions": []}, "page_contradicts_itself"),
        ({"sessions": a_page()["sessions"] * 2}, "page_contradicts_itself"),
        ({"made_at": "2026-03-08T20:00:00"}, "timezone"),
        ({"questions": [{"own": "?"}] * 51}, "at most 50"),
        ({"something": "else"}, "not permitted"),
    ],
)
def test_a_page_that_does_not_agree_with_itself_is_refused(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError, match=said):
        CoachPage.model_validate(a_page() | changed)


def test_a_page_has_its_zone_its_unit_and_when_it_was_made() -> None:
    made = page([], person={"zone": "Europe/Lisbon", "unit": "lb"})
    assert (made.zone, made.unit, made.made_at, made.weeks) == ("Europe/Lisbon", "lb", MADE_AT, (WEEK,))
