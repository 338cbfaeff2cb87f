"""Messages as sentences: plural forms, lists, nested phrases, and what a newer companion says."""

from datetime import date, time

import pytest

from companion.words import words
from companion.words.plural import Plural
from companion.words.words import UNKNOWN, Words, english
from engine.base.message import (
    Argument,
    Clock,
    Count,
    Day,
    Joint,
    Listed,
    Message,
    Moves,
    Own,
    Seconds,
    Version,
    Weight,
    listed,
    message,
)
from engine.base.units import LoadUnit
from engine.movements.movement import Kit, library
from engine.movements.terms import kit_term, movement_term


@pytest.fixture(autouse=True)
def sentences(monkeypatch: pytest.MonkeyPatch) -> None:
    told = {
        "it": "{it}",
        "saved": "saves {time:clock}",
        "rounds": Plural("rounds", "{rounds} round dropped", "{rounds} rounds dropped"),
        "both": "{first}; {second}.",
    }
    monkeypatch.setattr(words, "SENTENCES", words.SENTENCES | told)


@pytest.mark.parametrize(
    ("argument", "said"),
    [
        (Count(count=1_200), "1,200"),
        (Count(count=2.5), "2.5"),
        (Seconds(seconds=45), "45 s"),
        (Seconds(seconds=27.5), "27.5 s"),
        (Seconds(seconds=90), "1:30"),
        (Weight(grams=7_500), "7.5 kg"),
        (Day(day=date(2026, 11, 24)), "Tuesday 24 November"),
        (Clock(clock=time(8, 5)), "08:05"),
        (Joint(joint="low_back"), "low back"),
        (Joint(joint="knee", side="left"), "left knee"),
        (Moves(movement="march-in-place"), library()["march-in-place"].name),
        (Version(movement="march-in-place", version="bodyweight-arms-still"), "Arms still"),
        (Version(movement="march-in-place", version="later"), "later"),
        (Own(own="Élan"), "Élan"),
        (listed([Own(own="a"), Own(own="b"), Own(own="a"), Own(own="c")]), "a, b and c"),
        (kit_term(Kit.pair), "two dumbbells"),
    ],
)
def test_each_sort_of_argument_is_said_in_its_own_way(argument: Argument, said: str) -> None:
    assert english(message("it", it=argument)) == said


def test_time_that_is_saved_reads_like_a_clock() -> None:
    assert english(message("saved", time=Seconds(seconds=45))) == "saves 0:45"


@pytest.mark.parametrize(
    ("rounds", "said"), [(1, "1 round dropped"), (2, "2 rounds dropped"), (0, "0 rounds dropped")]
)
def test_a_count_takes_its_own_form(rounds: int, said: str) -> None:
    assert english(message("rounds", rounds=Count(count=rounds))) == said


def test_a_message_within_a_message_is_a_phrase_with_its_own_count() -> None:
    one, two = (message("rounds", rounds=Count(count=number)) for number in (1, 2))
    assert english(message("both", first=one, second=two)) == "1 round dropped; 2 rounds dropped."


def test_weights_are_said_in_the_unit_of_the_window() -> None:
    assert Words(unit=LoadUnit.lb).say(message("it", it=Weight(grams=10_000))) == "22 lb"


@pytest.mark.parametrize("newer", [message("said_tomorrow"), message("it", that=Count(count=1))])
def test_what_a_newer_companion_says_is_named_as_such(newer: Message) -> None:
    assert english(newer) == UNKNOWN


def test_a_message_is_the_same_when_it_was_written_and_read_again() -> None:
    told = message("both", first=Listed(listed=(Day(day=date(2026, 1, 2)),)), second=Weight(grams=0))
    again = Message.model_validate_json(told.model_dump_json())
    assert (again, hash(again)) == (told, hash(told))


def test_a_movement_that_a_coach_made_up_is_named_in_the_message() -> None:
    known = library()["march-in-place"]
    assert movement_term(known) == Moves(movement="march-in-place")
    assert movement_term(known.model_copy(update={"name": "March, ours"})) == Own(own="March, ours")
