"""Documents from outside are bounded, and their faults are plain sentences."""

from __future__ import annotations

import json

import pytest
from builders import plan, profile, work
from refusals import refused_because

from companion.words.faults import fault_words, place_words
from engine.base.issue import Unreadable, echo, without_kinds
from engine.base.reading import DEEPEST_NESTING, parse_json, read
from engine.plan.plan import SessionPlan


def faults(raw: str | bytes) -> list[str]:
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, raw)
    return list(map(fault_words, refused.value.issues))


def test_a_plan_that_was_written_is_read_as_it_was() -> None:
    assert read(SessionPlan, plan().model_dump_json()) == plan()


def test_a_mark_of_byte_order_is_passed_over() -> None:
    assert read(SessionPlan, b"\xef\xbb\xbf" + plan().model_dump_json().encode()) == plan()


@pytest.mark.parametrize(
    "raw, words",
    [
        ("", "The file cannot be read from line 1, character 1."),
        ("{", "The file cannot be read from line 1, character 2."),
        ("[1]", "This is another kind of file."),
        (b"\xff", "This file cannot be read as text."),
        ('"\ud800"', "This file cannot be read as text."),
        ("[" * 41 + "]" * 41, f"The file holds parts within parts, more than {DEEPEST_NESTING} deep."),
        ("1" * 21, "A number is too large: 11111111…"),
        ("1e999", "A number is too large: 1e999"),
        ("NaN", "Not a number: NaN"),
        ("-Infinity", "Not a number: -Infinity"),
        ("{}", "This is another kind of file."),
        ('{"format": "session-plan", "version": 7}', "Made with a newer version of the companion"),
    ],
)
def test_what_is_no_plan_is_refused_in_one_sentence(raw: str | bytes, words: str) -> None:
    (said,) = faults(raw)
    assert words in said


def test_another_document_of_ours_is_told_apart() -> None:
    assert faults(profile().model_dump_json()) == ["This is another kind of file."]


def test_a_huge_document_is_refused_before_it_is_decoded() -> None:
    with refused_because("larger than 1 kB"):
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
        "Block 1: “nap” is none of these: warm_up, practice, work and cool_down.",
        "Block 3 › Movement 1 › Tempo: Write a tempo as four numbers of seconds such as 3-0-1-0, not “slow”.",
        "Block 3 › Work interval: Write 10 or more, not 5.",
    ]


def test_a_place_counts_from_one() -> None:
    where = without_kinds(("blocks", 2, "work", "movements", 0, "tempo"))
    assert place_words(where) == "Block 3 › Movement 1 › Tempo"
    assert place_words((0, "tempo")) == "1 › Tempo", "a list of documents is counted too"
    assert place_words(("sessions", 1)) == "sessions 2", "what has no words stands as it is written"


@pytest.mark.parametrize("length, shown", [(60, 60), (61, 61), (62, 61)])
def test_a_sentence_repeats_sixty_characters_of_a_document_at_most(length: int, shown: int) -> None:
    """The sixty and “…”. † Our judgement, no source."""
    said = place_words(("x" * length,))
    assert (len(said), said.endswith("…")) == (shown, length > 60)
    assert echo("x" * length).own == said


@pytest.mark.parametrize("piece", ['"', '"\\', '\\"', '"\\"', "[]", "\\"])
def test_a_document_of_endless_beginnings_is_read_through_once(piece: str) -> None:
    """A search that starts again at every character would not finish here."""
    with refused_because("cannot be read from line 1"):
        parse_json(piece * 200_000)


def test_a_list_is_not_called_too_short_where_its_own_entry_is_faulty() -> None:
    content = json.loads(plan(work()).model_dump_json())
    content["blocks"][0]["movements"] = [{"movement": "one-hand-press", "tempo": "slow"}]
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(content))
    assert [issue.where for issue in refused.value.issues] == [("blocks", 0, "movements", 0, "tempo")]
    content["blocks"][0]["movements"] = []
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(content))
    assert ("blocks", 0, "movements") in [issue.where for issue in refused.value.issues]
