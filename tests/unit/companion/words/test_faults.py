"""Faults of documents: where they are, as a person counts, and what is wrong, safe to show."""

from collections.abc import Iterator
from typing import get_args

from pydantic import BaseModel

from companion.words.faults import fault_words, place_words, why
from companion.words.places import NUMBERED, PLACES
from engine.base.issue import Issue, WrongValue
from engine.base.message import Own, message
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan


def fields_of(kind: object) -> Iterator[str]:
    """The names of a model's fields, and of all that it holds."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        for name, field in kind.model_fields.items():
            yield name
            yield from fields_of(field.annotation)
    for part in get_args(kind):
        yield from fields_of(part)


def test_every_part_of_a_plan_and_of_an_adjustment_has_words() -> None:
    written = {*fields_of(SessionPlan), *fields_of(Adjustment)}
    assert {*PLACES} == written
    assert {*NUMBERED} <= written


def test_a_place_is_told_from_the_whole_to_the_part_and_counted_from_one() -> None:
    assert place_words(()) == ""
    assert place_words(("blocks", 2, "movements", 0, "work_s")) == "Block 3 › Movement 1 › Work interval"
    assert place_words(("allowances", 0, "to_s", 2)) == "Cut 1 › Length 3"
    assert place_words(("sessions", 4, "sets")) == "sessions 5 › sets", "other documents as they are written"


def test_what_is_wrong_follows_its_place_and_steers_no_terminal() -> None:
    what = message("no_movement_of_that_name", written=Own(own="moon\x1bwalk"))
    assert fault_words(Issue((), what)) == "No movement of that name: moon walk."
    assert fault_words(Issue(("blocks",), what)) == "Blocks: No movement of that name: moon walk."


def test_a_refused_value_says_why() -> None:
    assert why(WrongValue(message("write_text"))) == "Write a text."
    assert why(ValueError("As it stands.")) == "As it stands."
