"""The roster: those who hurt first, and the newest copy of everything."""

from __future__ import annotations

import re
from datetime import timedelta
from itertools import permutations
from typing import Any

from builders import STARTED_AT, journal, logged, noted_pain, record
from page_sentences import written
from pages import MADE_AT, SIDE_LEFT, SIDE_RIGHT, WEEK, late_answers, page, painful_record, without
from pseudo import pseudo_language
from pydantic import JsonValue

from companion.words.saying import speaking
from companion.words.words import Words, english
from engine.base.message import message
from engine.coach import figures, pain_lines
from engine.coach.page import CoachPage
from engine.coach.questions import week_questions
from engine.coach.roster import Person, copies, head, in_full, in_short, roster
from engine.movements.after_pain import after_pain
from engine.record.amendment import AmendedField, Amendment
from engine.record.history import history_of
from engine.record.record import SetAnswer

LOADS = {"one-hand-press": 8_000}
LATER = MADE_AT + timedelta(days=1)


def of(name: str, *records: Any, **asked: Any) -> CoachPage:
    return page(records, person={"trainee_id": f"id of {name}"}, name=name, **asked)


NO_PAIN, PAIN_KEPT_BACK = english(pain_lines.NO_PAIN), english(figures.LEFT_OUT["pain"])


def paragraph(person: Person) -> list[str]:
    return [english(head(person)), *written(in_full(person))]


def test_who_was_stopped_by_pain_stands_first_then_who_had_pain_then_the_others_by_name() -> None:
    sore = record(record_id="sore")
    sore = sore.model_copy(update={"pains": painful_record().pains})
    pages = [of("Ada", record()), of("Ben", sore), of("Cleo", painful_record()), of("Abel", record())]
    assert [person.name for person in roster(pages)] == ["Cleo", "Ben", "Abel", "Ada"]


def test_what_is_left_out_after_pain_stands_first_and_puts_the_person_first() -> None:
    out = after_pain(history_of([painful_record()]).flagged, ())
    back = page([record(record_id="calm")], after_pain=out, person={"trainee_id": "back"}, name="Zoe")
    first, second = roster([of("Ada", record()), back])
    assert (first.name, second.name) == ("Zoe", "Ada")
    assert paragraph(first)[1:3] == [
        "Left out after pain: One hand press, left elbow, since Monday 2 March. It hurt in 1 session.",
        "Done: 1 session, 3 min. 2 of 2 rounds.",
    ]


def test_pain_noted_without_a_session_is_said_once_however_many_pages_carry_it() -> None:
    noted = [noted_pain(words="On the stairs.")]
    pages = [page([], pain_notes=noted), page([], pain_notes=noted, made_at=LATER)]
    (person,) = roster(pages)
    assert person.hurts
    said = paragraph(person)
    assert said.count("Monday 2 March, no session: left knee, pain 6 of 10. “On the stairs.”") == 1


def test_what_was_noted_before_the_session_and_is_told_there_is_said_once() -> None:
    def told(**note: Any) -> list[str]:
        noted = noted_pain(**{"at": STARTED_AT - timedelta(minutes=5), "rating": 2} | note)
        (person,) = roster([page([painful_record()], pain_notes=[noted])])
        return [one for one in paragraph(person) if one.startswith("Monday 2 March") and "left knee" in one]

    before = "Monday 2 March, before the session: left knee, pain 2 of 10."
    assert told() == [before]
    assert told(rating=4) == [before, "Monday 2 March, outside the session: left knee, pain 4 of 10."]
    assert told(words="On the stairs.")[1].endswith(
        "outside the session: left knee, pain 2 of 10. “On the stairs.”"
    )
    after = told(at=STARTED_AT + timedelta(hours=2))
    assert after == [before, "Monday 2 March, outside the session: left knee, pain 2 of 10."]


def test_a_person_s_paragraph_says_pain_and_stops_before_anything_else() -> None:
    (person,) = roster([page([painful_record()], late_answers(), questions=("Rest the elbow?",))])
    said = paragraph(person)
    assert said[:6] == [
        "Runa, 2 March 2026 to 8 March 2026",
        "Monday 2 March, before the session: left knee, pain 2 of 10.",
        "Monday 2 March: The session was stopped for pain.",
        "Monday 2 March, One hand press: left elbow, pain 5 of 10. “A sting at the elbow.”",
        "The morning after Monday 2 March: left elbow, pain 3 of 10.",
        "The morning after Monday 2 March: sore muscles, 2 of 10.",
    ]
    assert said[6] == "Done: 1 session, 0 min. 0 of 2 rounds. Effort 6 of 10. 1 stopped for pain."
    assert not any("Load" in one for one in said), "its only set was stopped by pain"
    assert any("On the run: This spares: left elbow." in one for one in said)
    assert said[-2:] == ["Monday 2 March, noted: “An easy day after all.”", "Asks: Rest the elbow?"]


def test_a_morning_without_pain_is_no_pain_and_sore_muscles_are_none_either() -> None:
    def answered(number: int, field: AmendedField, rating: int) -> Amendment:
        at = STARTED_AT + timedelta(hours=12 + number)
        return Amendment(id=f"{number}", record_id="record-1", at=at, field=field, value=value(field, rating))

    def value(field: AmendedField, rating: int) -> JsonValue:
        knee = {"joint": "knee", "side": "left", "rating": rating}
        return rating if field is AmendedField.soreness else knee

    fine = [answered(1, AmendedField.next_morning_pain, 0), answered(2, AmendedField.soreness, 0)]
    (person,) = roster([page([record()], fine)])
    assert (person.hurts, NO_PAIN in paragraph(person)) == (False, True)
    (person,) = roster([page([record()], [*fine, answered(3, AmendedField.soreness, 4)])])
    assert not person.hurts
    assert paragraph(person)[1:3] == [
        "The morning after Monday 2 March: left knee, pain 0 of 10.",
        "The morning after Monday 2 March: sore muscles, 4 of 10.",
    ]
    (person,) = roster([page([record()], [*fine, answered(3, AmendedField.next_morning_pain, 1)])])
    assert person.hurts


def test_a_page_without_pain_is_not_taken_for_a_page_of_somebody_without_pain() -> None:
    said = paragraph(roster([page([painful_record()], choice=without("pain"))])[0])
    assert PAIN_KEPT_BACK in said
    assert NO_PAIN not in said
    assert NO_PAIN in paragraph(roster([page([record()])])[0])


def test_the_same_page_twice_counts_once() -> None:
    one = page([record()])
    (person,) = roster([one, one.model_copy(), one])
    assert (person.duplicates, person.older, len(person.sessions)) == (2, 0, 1)
    assert list(map(english, copies(person))) == ["2 pages came again."]


def test_of_a_session_on_several_pages_the_newest_copy_counts() -> None:
    """The later page has the answers of the next morning."""
    older = page([painful_record()])
    newer = page([painful_record()], late_answers(), made_at=LATER)
    for pages in permutations([older, newer]):
        (person,) = roster(pages)
        assert (person.duplicates, person.older) == (0, 1)
        assert [session.effort for session in person.sessions] == [6]
        assert list(map(english, copies(person))) == ["Put together with 1 older page."]


def test_an_older_page_adds_its_sessions_and_its_weeks() -> None:
    first = record(record_id="first")
    second = record(record_id="second", started_at=STARTED_AT + timedelta(days=7))
    pages = [
        page([first], questions=("Old?",)),
        page([second], weeks=("2026-W11",), made_at=LATER, name="Ru"),
    ]
    (person,) = roster(reversed(pages))
    assert (person.name, person.weeks, person.questions) == ("Ru", (WEEK, "2026-W11"), ())
    assert [session.record_id for session in person.sessions] == ["first", "second"]


def test_two_devices_pages_of_the_same_week_are_added_up() -> None:
    one, other = page([record(record_id="phone")]), page([record(record_id="laptop")], made_at=LATER)
    (person,) = roster([one, other])
    assert paragraph(person)[2].startswith("Done: 2 sessions,")


def test_two_people_of_one_name_stay_two() -> None:
    assert len(roster([page([], person={"trainee_id": name}) for name in ("one", "other")])) == 2


def test_somebody_who_did_not_train_is_said_to_have_had_no_session() -> None:
    assert paragraph(roster([page([])])[0])[-1] == "Done: No session."


def test_nobody_makes_an_empty_roster() -> None:
    assert roster([]) == ()


def test_pain_on_any_page_in_hand_is_told_whatever_page_was_made_last() -> None:
    """A page of older weeks made later once hid pain 7 under “No pain was noted.”"""
    hurt = [noted_pain(rating=7)]
    now = page([record()], pain_notes=hurt)
    older = page([], weeks=("2026-W08",), made_at=LATER)
    for pages in permutations([now, older]):
        (person,) = roster(pages)
        assert person.weeks == ("2026-W08", WEEK)
        assert person.hurts
        said = paragraph(person)
        assert NO_PAIN not in said
        assert any("left knee, pain 7 of 10" in one for one in said)


def test_a_newer_copy_that_keeps_pain_back_does_not_hide_the_copy_that_tells_it() -> None:
    told = page([painful_record()])
    kept_back = page([painful_record()], choice=without("pain"), made_at=LATER)
    (person,) = roster([told, kept_back])
    assert person.hurts
    assert person.stopped
    assert any("left elbow, pain 5 of 10" in one for one in paragraph(person))
    (person,) = roster([page([record()]), page([record()], choice=without("pain"), made_at=LATER)])
    assert NO_PAIN not in paragraph(person), "only one of the pages says so"


def test_a_newer_page_without_pain_leaves_what_is_left_out_as_the_last_page_with_pain_told_it() -> None:
    out = after_pain(history_of([painful_record()]).flagged, ())
    told = page([painful_record()], after_pain=out)
    (person,) = roster([told, page([record()], choice=without("pain"), made_at=LATER)])
    assert person.after_pain == out
    (person,) = roster([told, page([record()], made_at=LATER)])
    assert person.after_pain == (), "the newest page that speaks of pain counts"


def test_a_page_more_never_makes_anyone_hurt_less() -> None:
    out = after_pain(history_of([painful_record()]).flagged, ())
    pages = [
        page([record()], after_pain=out),
        page([painful_record()]),
        page([record()], made_at=LATER),
        page([], pain_notes=[noted_pain()], made_at=LATER + timedelta(days=1)),
        page([], weeks=("2026-W08",), made_at=LATER + timedelta(days=2)),
        page([painful_record()], choice=without("pain"), made_at=LATER + timedelta(days=3)),
    ]
    for order in permutations(pages, 4):
        hurts = False
        for count in range(1, 5):
            (person,) = roster(order[:count])
            assert person.hurts or not hurts
            hurts = person.hurts
            assert not hurts or NO_PAIN not in paragraph(person)
        assert roster(order) == roster(reversed(order))


def test_two_names_under_one_id_are_said() -> None:
    """A backup restored on another person's device makes two people one."""
    (person,) = roster([page([record()]), page([painful_record()], name="Ben", made_at=LATER)])
    said = "One id, several names: Ben and Runa. If they are two people, read them apart."
    assert said in paragraph(person)
    assert not any("several names" in one for one in paragraph(roster([page([record()])])[0]))


def test_pages_made_before_two_devices_became_one_join_those_made_after() -> None:
    """Never by name: a page that carries both ids joins them."""
    before = [of("tablet", record()), of("phone", painful_record())]
    assert len(roster(before)) == 2
    both = {"trainee_id": "id of phone", "also": ("id of tablet",)}
    after = page([record(record_id="later")], person=both, name="tablet", made_at=LATER)
    for order in permutations([*before, after]):
        (person,) = roster(order)
        assert (person.trainee_id, person.hurts, len(person.sessions)) == ("id of phone", True, 3)
    namesake = page([record()], person={"trainee_id": "another"}, name="tablet")
    assert len(roster([*before, after, namesake])) == 2


def test_form_slips_are_told_in_short_and_in_full() -> None:
    run = journal().write("form_slipped", 20_000)
    slipped = logged(run.write("ended", 95_000, ending="early"), record_id="slipped")
    said = {key: SetAnswer(form_held=False) for key in (SIDE_LEFT, SIDE_RIGHT)}
    answered = record(record_id="answered", started_at=STARTED_AT + timedelta(days=1), exceptions=said)
    (person,) = roster([page([slipped, answered])])
    for told in (in_short(person), in_full(person)):
        (done,) = (one for one in written(told) if one.startswith("Done:"))
        assert "Form slipped once on the run. Form slipped in 2 sets: One hand press." in done


def test_in_short_stand_pain_what_was_done_and_questions_and_in_full_the_rest_as_well() -> None:
    records = [
        record(record_id=f"{n}", started_at=STARTED_AT + timedelta(days=n), loads_g=LOADS) for n in (0, 1)
    ]
    (person,) = roster([page(records, questions=("Heavier?",))])
    assert written(in_short(person)) == [
        NO_PAIN,
        "Done: 2 sessions, 6 min. 4 of 4 rounds.",
        "Asks: Heavier?",
    ]
    assert set(in_short(person)) < set(in_full(person))
    assert "One hand press: Load 8 kg." in written(in_full(person))


def test_a_page_reads_in_the_language_of_whoever_reads_it() -> None:
    """Nothing but what a person named or wrote is outside the catalogues: every text of ours is in brackets,
    as the language that nobody speaks has it, whose dates are those of English."""
    out = after_pain(history_of([painful_record()]).flagged, ())
    told = [painful_record(), record(record_id="later", loads_g=LOADS)]
    suggested = week_questions(page(told).sessions, (), out, today=MADE_AT.date())
    (person,) = roster([page(told, late_answers(), after_pain=out, pain_notes=[noted_pain()])])
    asked = person.model_copy(update={"questions": tuple(one.said for one in suggested)})
    assert suggested
    with speaking(Words(language=pseudo_language())):
        for one in written(in_full(asked)):
            while (shorter := re.sub(r"⟦[^⟦⟧]*⟧", "", one)) != one:
                one = shorter
            assert re.fullmatch(r"(One hand press|Monday 2 March)?[^A-Za-z]*", one), one


def test_a_question_of_a_newer_companion_says_so() -> None:
    newer = page([record()]).model_copy(update={"questions": (message("not_known_yet"),)})
    (person,) = roster([CoachPage.model_validate_json(newer.model_dump_json())])
    assert paragraph(person)[-1] == "Asks: Noted by a newer companion."
