"""Where small mistakes are made, that each can be made alone, and what is said of the harmless ones."""

from __future__ import annotations

import ast

import pytest
from mutants.changes import Mutant, functions, places, sample
from mutants.reach import mentioned
from mutants.verdicts import key, reasons, same
from places import ROOT


@pytest.mark.parametrize(
    ("text", "made"),
    {
        "a < b": "a <= b | a >= b",
        "0 < a == b": "-1 < a == b | 0 < a != b | 0 <= a == b | 0 >= a == b | 1 < a == b",
        "a not in b": "a in b",
        "a + b * c": "a - b * c | b // c",
        "a += b": "a -= b",
        "-a": "a",
        "a and b": "a or b",
        "not a": "a",
        "f() if a else b": "not a",
        "[a for a in b if a.c]": "not a.c",
        "m: Annotated[int, Field(ge=2)] = F(3, title=4)": "F(2, title=4) | F(4, title=4)",
    }.items(),
)
def test_a_place_is_changed_by_one_small_mistake(text: str, made: str) -> None:
    assert sorted(one.after for place in places("boat.py", text) for one in place) == made.split(" | ")


@pytest.mark.parametrize(
    "text",
    [
        "def f(a: Literal[1]) -> Literal[2]: ...",
        "f'{a + 1} of {b}'",
        "assert a < b",
        "raise Fault(a < 1)",
        "a + 'text'",
        "a = True",
        "if TYPE_CHECKING:\n    import a",
        "match a:\n    case 1: ...",
        '"""A docstring of 1."""',
    ],
)
def test_what_is_said_and_typed_is_no_place(text: str) -> None:
    assert places("boat.py", text) == []


TEXT = '''
LEAST = 2

class Boat:
    """Has masts."""

    def is_fit(self, masts, crew=3):
        """Whether it sails."""
        return masts >= LEAST and not crew < 3
'''


def test_a_place_knows_its_function_or_the_names_that_it_defines() -> None:
    every = [place[0] for place in places("boat.py", TEXT)]
    assert {one.names for one in every} == {("LEAST",), ("is_fit", "Boat"), ()}
    assert {one.function for one in every} == {"", "boat.py:Boat.is_fit"}
    assert [name for name, _ in functions("boat.py", ast.parse(TEXT).body)] == ["boat.py:Boat.is_fit"]
    assert {"LEAST", "masts"} <= mentioned(ast.parse(TEXT))


def sails(on: Mutant | None, *arguments: int) -> bool:
    """What the text says with one change."""
    names: dict = {}
    exec(on.made_in(TEXT.encode()) if on else TEXT, names)
    return names["Boat"]().is_fit(*arguments)


def test_a_change_is_made_in_its_place_and_nowhere_else() -> None:
    changes = {one.told: one for place in places("boat.py", TEXT) for one in place}
    assert [sails(None, *one) for one in ((2, 3), (1, 3), (2, 2), (2,))] == [True, False, False, True]
    assert sails(changes["2 → 1"], 1)
    assert not sails(changes["masts >= LEAST → masts > LEAST"], 2)
    assert not sails(changes["crew < 3 → crew <= 3"], 2, 3)
    assert sails(changes["not crew < 3 → crew < 3"], 2, 2)
    assert sails(changes["masts >= LEAST and (not crew < 3) → masts >= LEAST or not crew < 3"], 1)


def test_a_place_is_counted_in_bytes_and_may_go_over_several_lines() -> None:
    text = "a = ('…', b\n    <\n    c)\nd = 1\n"
    (less, *_), _ = places("boat.py", text)
    assert less.made_in(text.encode()).decode() == "a = ('…', (b <= c))\nd = 1\n"


def test_a_sample_stays_what_it_was_where_other_places_come_or_go() -> None:
    text = "".join(f"a{number} = b{number} < {number}\n" for number in range(40))
    every = places("boat.py", text)
    for seed in range(3):
        drawn = sample(every, 10, seed)
        assert len(drawn) == len(set(drawn)) == 10
        assert set(drawn) <= set(sample(every, 20, seed))
        kept = [one for one in drawn if one.statement in text]
        less = sample(places("boat.py", text.replace("a0 = b0 < 0\n", "")), 10, seed)
        assert len({one.told for one in kept} & {one.told for one in less}) >= 9
    assert sample(every, 10, 0) != sample(every, 10, 1)
    assert len(sample(every, 1_000, 0)) == len(every) == 80
    assert len(sample(places("boat.py", "a < b\n" * 30), 10, 0)) == 10, "alike places are drawn one by one"


def test_each_change_that_means_the_same_is_one_of_today_and_says_why() -> None:
    known = same()
    files = {file for file, _, _ in known}
    every = {
        key(one)
        for file in files
        for place in places(file, (ROOT / file).read_text(encoding="utf-8"))
        for one in place
    }
    assert known.keys() - every == set()
    assert [place for place, why in known.items() if len(why) < 10] == []


def test_the_list_is_read_by_place_and_change() -> None:
    text = "a.py: if a < 1:\n    a < 1 → a <= 1 | a is never 1\n    1 → 2 | so too\n"
    place = ("a.py", "if a < 1:")
    assert reasons(text) == {(*place, "a < 1 → a <= 1"): "a is never 1", (*place, "1 → 2"): "so too"}
