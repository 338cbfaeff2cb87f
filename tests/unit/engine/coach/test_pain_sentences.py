"""What the morning after says of pain and of sore muscles."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import STARTED_AT, record
from pydantic import JsonValue

from engine.coach.pain_sentences import SORE_MUSCLES, next_morning
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
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
    assert next_morning(report).get(SORE_MUSCLES) == told
