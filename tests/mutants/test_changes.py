"""Where small mistakes are made, that each can be switched on, and what is said of the harmless ones."""

from __future__ import annotations

import ast
import subprocess
import sys

import pytest
from mutants.changes import Mutant, changed, places, sample
from mutants.reach import mentioned
from mutants.switched import Building, functions
from mutants.verdicts import key, reasons, same
from places import ROOT


def told(text: str) -> list[str]:
    return [one.told for place in places("harbour.py", text) for one in place]


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("a < b", ["a < b → a <= b", "a < b → a >= b"]),
        (
            "0 < a == b",
            [
                "0 < a == b → 1 < a == b",
                "0 < a == b → -1 < a == b",
                "0 < a == b → 0 <= a == b",
                "0 < a == b → 0 >= a == b",
                "0 < a == b → 0 < a != b",
            ],
        ),
        ("a not in b", ["a not in b → a in b"]),
        ("a + b * c", ["a + b * c → a - b * c", "b * c → b // c"]),
        ("a += b", ["a += b → a -= b"]),
        ("-a", ["-a → a"]),
        ("a and b", ["a and b → a or b"]),
        ("not a", ["not a → a"]),
        ("f() if a else b", ["a → not a"]),
        ("[a for a in b if a.c]", ["a.c → not a.c"]),
        (
            "most: Annotated[int, Field(ge=2)] = Field(3, description=4)",
            [
                "Field(3, description=4) → Field(4, description=4)",
                "Field(3, description=4) → Field(2, description=4)",
            ],
        ),
    ],
)
def test_a_place_is_changed_by_one_small_mistake(text: str, changes: list[str]) -> None:
    assert sorted(told(text)) == sorted(changes)


@pytest.mark.parametrize(
    "text",
    [
        "def f(a: Literal[1]) -> Literal[2]: ...",
        "f'{a + 1} of {b}'",
        "assert a < b",
        "raise Fault(a < 1)",
        "a + 'text'",
        "a = True",
        "if TYPE_CHECKING:\n    a = 1",
        "match a:\n    case 1: ...",
        '"""A docstring of 1."""',
    ],
)
def test_what_is_said_and_typed_is_no_place(text: str) -> None:
    assert told(text) == []


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
    """What the text says with every change built in and one switched on."""
    every = [one for place in places("boat.py", TEXT) for one in place]
    chosen: dict = {}
    for number, one in enumerate(every):
        chosen.setdefault(one.span, []).append((number, one.change))
    built = ast.fix_missing_locations(Building(chosen).visit(ast.parse(TEXT)))
    names = {"__on__": [one == on for one in every]}
    exec(compile(built, "boat.py", "exec"), names)
    return names["Boat"]().is_fit(*arguments)


def test_a_change_acts_only_when_it_is_switched_on() -> None:
    changes = {one.told: one for place in places("boat.py", TEXT) for one in place}
    assert (sails(None, 2, 3), sails(None, 1, 3), sails(None, 2, 2), sails(None, 2)) == (
        True,
        False,
        False,
        True,
    )
    assert sails(changes["2 → 1"], 1)
    assert not sails(changes["masts >= LEAST → masts > LEAST"], 2)
    assert not sails(changes["crew < 3 → crew <= 3"], 2, 3)
    assert sails(changes["not crew < 3 → crew < 3"], 2, 2)
    assert sails(changes["masts >= LEAST and (not crew < 3) → masts >= LEAST or not crew < 3"], 1)


def test_a_changed_node_leaves_the_first_as_it_was() -> None:
    node = ast.parse("a < 1", mode="eval").body
    (change, _) = [
        one.change for place in places("a.py", "a < 1") for one in place if one.change.kind == "comparison"
    ]
    assert ast.unparse(changed(node, change)) == "a <= 1"
    assert ast.unparse(node) == "a < 1"


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


def test_alike_places_are_drawn_one_by_one() -> None:
    every = places("boat.py", "a < b\n" * 30)
    assert len(sample(every, 10, 0)) == 10


WORK = """
from mutants.forks import Fork, run
import os, time
def turns(_):
    while True: pass
def breaks(_): raise KeyError("mast")
def tell(outcome, folder): print(outcome, (folder / "broke").exists())
run([Fork(lambda _: 10, tell, 5), Fork(breaks, tell, 5), Fork(turns, tell, 0.5)], 1)
"""


def test_a_fork_that_does_not_end_is_ended_and_one_that_breaks_says_so() -> None:
    told = subprocess.run(
        [sys.executable, "-c", WORK], cwd=ROOT / "tests", capture_output=True, text=True, check=True
    )
    assert told.stdout.splitlines() == ["10 False", "70 True", "None False"]


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
