"""Every code that the engine says has one sentence, which its arguments fill; no sentence is left over."""

import ast
import string
from collections import Counter, defaultdict
from collections.abc import Iterator

from python_files import python_files, shown, tree_of

from companion.words.plural import Plural
from companion.words.registry import ROOMS, SENTENCES
from engine.movements.limits import LIMIT_RULES, Limit
from engine.movements.movement import JOINT_POINTS, Equipment, Joint, Kit, MovementPattern, Region, Side
from engine.movements.pain import PainKind, PainQuality
from storage.problem import Cause

MAKES_TERMS = ("engine/movements/terms.py", "storage/problem.py")
"""Where codes are made from the values of an enumeration."""
TERMS = {
    *(f"kit_{kit}" for kit in Kit),
    *(f"at_{where}_{side}" for where in ("side", "hand", "shoulder") for side in ("left", "right")),
    *(f"equipment_{one}" for one in Equipment),
    *(f"missing_{kit}" for kit in (Kit.single, Kit.pair)),
    *(f"missing_{one}" for one in Equipment),
    *(f"side_{side}" for side in Side),
    *(f"pattern_{pattern}" for pattern in MovementPattern),
    *(f"title_{pattern}" for pattern in MovementPattern),
    *(f"pain_in_{kind}" for kind in PainKind),
    *(f"sign_{quality}" for quality in PainQuality),
    *(f"region_{region}" for region in Region),
    *(f"every_{pattern}" for pattern in MovementPattern),
    *(f"limit_{limit}" for limit in set(Limit) - set(LIMIT_RULES)),
    *(f"storage_{cause}" for cause in Cause),
    *(f"joint_{joint}" for joint in Joint),
    *(f"joint_{joint}_{side}" for joint, side in JOINT_POINTS if side),
}


def calls() -> Iterator[tuple[str, ast.Call]]:
    """Each place in engine, storage and application where a message is made."""
    for path in python_files("engine", "storage", "companion"):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "message":
                yield f"{shown(path)}:{node.lineno}", node


def said() -> dict[str, list[set[str]]]:
    """The names of the arguments that each code is said with, once for each place."""
    found = defaultdict(list)
    for place, call in calls():
        code = call.args[0]
        if isinstance(code, ast.Constant) and all(one.arg for one in call.keywords):
            found[code.value].append({str(one.arg) for one in call.keywords})
        else:
            assert place.startswith(MAKES_TERMS), f"{place}: a code and its arguments are written out"
    return found


def texts(sentence: str | Plural) -> tuple[str, ...]:
    return sentence[1:] if isinstance(sentence, Plural) else (sentence,)


def names_in(sentence: str | Plural) -> set[str]:
    parsed = (part for text in texts(sentence) for part in string.Formatter().parse(text))
    counted = {sentence.by} if isinstance(sentence, Plural) else set()
    return counted | {name for _, name, _, _ in parsed if name is not None}


def test_every_code_has_a_sentence_and_every_sentence_a_code() -> None:
    assert {*said(), *TERMS} == set(SENTENCES)


def test_no_code_is_in_two_rooms() -> None:
    assert [
        code for code, rooms in Counter(code for room in ROOMS for code in room).items() if rooms > 1
    ] == []


def test_each_sentence_says_the_arguments_that_its_code_is_said_with() -> None:
    odd = {
        code: (sorted(names_in(SENTENCES[code])), [sorted(names) for names in places])
        for code, places in said().items()
        if any(names != names_in(SENTENCES[code]) for names in places)
    }
    assert odd == {}
