"""Documents from outside are bounded, and their faults are plain sentences."""

from __future__ import annotations

import json

import pytest
from builders import plan, profile, work

from engine.base.issue import Issue, Unreadable, place
from engine.base.reading import DEEPEST_NESTING, parse_json, read
from engine.plan.plan import SessionPlan


def faults(raw: str | bytes) -> list[str]:
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, raw)
    return [str(issue) for issue in refused.value.issues]


def test_a_plan_that_was_written_is_read_as_it_was() -> None:
    assert read(SessionPlan, plan().model_dump_json()) == plan()


def test_a_mark_of_byte_order_is_passed_over() -> None:
    assert read(SessionPlan, b"\xef\xbb\xbf" + plan().model_dump_json().encode()) == plan()


@pytest.mark.parametrize(
    "raw, words",
    [
        ("", "line 1, column 1: this is not JSON."),
        ("{", "line 1, column 2: this is not JSON."),
        ("[1]", "The file does not hold one JSON object."),
        (b"\xff", "The file is not UTF-8 text."),
        ('"\ud800"', "The file is not UTF-8 text."),
        ("[" * 41 + "]" * 41, f"The file is nested more than {DEEPEST_NESTING} levels deep."),
        ("1" * 21, "The number 11111111… is too long."),
        ("1e999", "The number 1e999 is too large."),
        ("NaN", "NaN is not a number."),
        ("-Infinity", "-Infinity is not a number."),
        ("{}", "format: this is not a session plan."),
        ('{"format": "session-plan", "version": 7}', "newer version (7); this one reads up to 1."),
    ],
)
def test_what_is_no_plan_is_refused_in_one_sentence(raw: str | bytes, words: str) -> None:
    (said,) = faults(raw)
    assert words in said


def test_another_document_of_ours_is_told_apart() -> None:
    assert faults(profile().model_dump_json()) == ["format: this is not a session plan."]


def test_a_huge_document_is_refused_before_it_is_decoded() -> None:
    with pytest.raises(Unreadable, match="larger than 1 kB"):
        parse_json(b" " * 1_001, most_bytes=1_000)


def test_brackets_inside_a_text_do_not_count_as_depth() -> None:
    assert parse_json(json.dumps("[" * 100 + '\\"' + "{" * 100)) == "[" * 100 + '\\"' + "{" * 100


def test_the_deepest_nesting_that_is_allowed_is_read() -> None:
    assert parse_json("[" * DEEPEST_NESTING + "]" * DEEPEST_NESTING)


def test_every_fault_is_told_with_the_place_a_person_would_count() -> None:
    content = plan().model_dump(mode="json")
    content["blocks"][2]["movements"][0]["tempo"] = "slow"
    content["blocks"][2]["work_s"] = 5
    content["blocks"][0]["kind"] = "nap"
    assert faults(json.dumps(content)) == [
        "blocks 1: “nap” is not one of warm_up, practice, work, cool_down.",
        "blocks 3 › movements 1 › tempo: “slow” is not a tempo: "
        "write four numbers of seconds such as 3-0-1-0.",
        "blocks 3 › work_s: 5 is too small; at least 10.",
    ]


def test_a_place_counts_from_one() -> None:
    assert place(("blocks", 2, "work", "movements", 0, "tempo")) == "blocks 3 › movements 1 › tempo"
    assert place((0, "tempo")) == "1 › tempo", "a list of documents is counted too"


@pytest.mark.parametrize("length, shown", [(60, 60), (61, 61), (62, 61)])
def test_a_sentence_repeats_sixty_characters_of_a_document_at_most(length: int, shown: int) -> None:
    """The sixty and “…”. † Our judgement, no source."""
    said = place(("x" * length,))
    assert (len(said), said.endswith("…")) == (shown, length > 60)
    message = Issue("", "x" * 5 * length).in_short().message
    assert (len(message), message.endswith("…")) == (min(5 * length, 301), length > 60)


@pytest.mark.parametrize("piece", ['"', '"\\', '\\"', '"\\"', "[]", "\\"])
def test_a_document_of_endless_beginnings_is_read_through_once(piece: str) -> None:
    """A search that starts again at every character would not finish here."""
    with pytest.raises(Unreadable, match="not JSON"):
        parse_json(piece * 200_000)


def test_a_list_is_not_called_too_short_where_its_own_entry_is_faulty() -> None:
    content = json.loads(plan(work()).model_dump_json())
    content["blocks"][0]["movements"] = [{"movement": "one-hand-press", "tempo": "slow"}]
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(content))
    assert [issue.where for issue in refused.value.issues] == ["blocks 1 › movements 1 › tempo"]
    content["blocks"][0]["movements"] = []
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(content))
    assert "blocks 1 › movements" in [issue.where for issue in refused.value.issues]
