"""What hurt, and what the morning after says of pain and of sore muscles."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import STARTED_AT, pain, record
from page_sentences import written
from pydantic import JsonValue

from engine.coach.pain_lines import next_morning, pain_in_session
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
from engine.movements.pain import PainKind, PainNote, PainQuality
from engine.record.amendment import AmendedField, Amendment


@pytest.mark.parametrize(
    "value, told", [(0, 0), (10, 10), (-1, None), (11, None), (True, None), ("4", None), (4.0, None)]
)
def test_sore_muscles_are_a_whole_number_from_0_to_10(value: JsonValue, told: int | None) -> None:
    """The scale from 0, none, to 10, the worst imaginable."""
    said = Amendment(
        id="m",
        record_id="record-1",
        at=STARTED_AT + timedelta(hours=12),
        field=AmendedField.soreness,
        value=value,
    )
    report = report_of(record(), (said,), PageChoice())
    assert next_morning(report).muscles == told


def test_names_stand_as_they_are_those_of_the_library_too() -> None:
    """“arm circles” once stood in lower case, made from the slug."""
    notes = [pain(movement="arm-circles", rating=6), pain(movement="own", rating=2)]
    assert written(pain_in_session((), notes, {"own": "ROW of ours"})) == [
        "Arm circles: left knee, pain 6 of 10.",
        "ROW of ours: left knee, pain 2 of 10.",
    ]


@pytest.mark.parametrize(
    "fields, told",
    [
        ({}, "something hurt."),
        ({"kind": PainKind.warning_sign}, "a warning sign."),
        (
            {"kind": PainKind.muscle, "joint": "knee", "side": "left", "rating": 3},
            "left knee, a muscle, pain 3 of 10.",
        ),
        (
            {"joint": "low_back", "rating": 1, "after_try": True},
            "low back, pain 1 of 10. After the try without weight.",
        ),
        (
            {"joint": "hip", "side": "right", "qualities": (PainQuality.sharp, PainQuality.locking)},
            "right hip. Signs: sharp and locking.",
        ),
        ({"kind": PainKind.muscle, "gone_after_s": 40}, "a muscle. Gone after 40 s."),
    ],
)
def test_what_hurt_is_told_with_all_that_was_said(fields: dict[str, object], told: str) -> None:
    note = PainNote.model_validate({"session_ms": 0} | fields)
    assert written(pain_in_session((), [note], {})) == [f"In the session: {told}"]
