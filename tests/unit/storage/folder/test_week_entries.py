"""Whether what was read of a year's index makes sense; else it is derived again."""

from __future__ import annotations

import pytest

from engine.record.week import review_week
from storage.folder.week_entries import SESSIONS, WEEKS, is_a_year

WEEK = "2026-W10"
DONE = ["stamp", "record-1", "2026-03-02", WEEK, ""]
ERASED = ["stamp", "record-2", "", "", "2026-03-02T18:30:00Z"]


def test_sessions_that_were_done_or_erased_and_reviews_make_a_year() -> None:
    review = review_week([], WEEK).model_dump_json()
    assert is_a_year({SESSIONS: {"a": DONE, "b": ERASED}, WEEKS: {WEEK: review}})


@pytest.mark.parametrize("text", ["", "[]", '{"week": "2026-W10"}', 5, None, ["{"]])
def test_a_week_that_is_no_review_does_not(text: object) -> None:
    assert not is_a_year({SESSIONS: {}, WEEKS: {WEEK: text}})


@pytest.mark.parametrize(
    "entry",
    [
        ["stamp", "record-1", "2026-03-02", WEEK, "2026-03-02T18:30:00Z"],
        ["stamp", "record-1", "", "", ""],
        ["stamp", "record-1", "2026-03-02", "", ""],
        ["stamp", 1, "2026-03-02", WEEK, ""],
        ["stamp", "record-1"],
    ],
)
def test_a_session_that_is_neither_done_nor_erased_does_not(entry: list[object]) -> None:
    assert not is_a_year({SESSIONS: {"a": entry}, WEEKS: {}})


def test_a_table_more_or_less_does_not() -> None:
    assert not is_a_year({SESSIONS: {}})
    assert not is_a_year({SESSIONS: {}, WEEKS: {}, "years": {}})
