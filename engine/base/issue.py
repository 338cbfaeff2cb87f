"""Faults in documents from outside, each at its place and in one plain sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from engine.base.printable import printable_line

LONGEST_ECHO = 60
"""How many characters of a document's own text a sentence about it repeats."""
LONGEST_MESSAGE = 300
"""How many characters of a message are shown, whatever the document holds."""


class Issue(NamedTuple):
    """A fault in a document: ``where`` it is, empty for the document itself, and what is wrong."""

    where: str
    message: str

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message

    def in_short(self) -> Issue:
        """The same fault with a message that is short and printable, whatever the document holds."""
        return Issue(self.where, _echo(self.message, LONGEST_MESSAGE))


class Unreadable(ValueError):
    """Raised for a document that cannot be accepted. ``issues`` holds every fault found."""

    def __init__(self, *issues: Issue) -> None:
        self.issues = issues
        super().__init__("; ".join(str(issue) for issue in issues))


def place(location: Sequence[str | int]) -> str:
    """A place in a document as a person counts: ``blocks 3 › movements 1 › tempo``."""
    words: list[str] = []
    for part in without_kinds(location):
        if isinstance(part, int):
            words[-1:] = [f"{words[-1]} {part + 1}" if words else str(part + 1)]
        else:
            words.append(_echo(part))
    return " › ".join(words)


_BLOCK_KINDS = frozenset({"warm_up", "practice", "work", "cool_down"})


def without_kinds(location: Sequence[str | int]) -> tuple[str | int, ...]:
    """The location of a pydantic error as a path in the document.

    After the number of a block pydantic adds the block's kind, which is no level of the document.
    """
    pairs = zip((None, *location), location, strict=False)
    return tuple(part for before, part in pairs if not (isinstance(before, int) and part in _BLOCK_KINDS))


def issue_of(error: Any) -> Issue:
    """One entry of ``ValidationError.errors()`` at its place and in words."""
    return Issue(place(error["loc"]), _in_words(error))


def own_errors(errors: Iterable[Any]) -> Iterator[Any]:
    """Drops “too short” for a list that is short only because some of its entries are faulty."""
    found = list(errors)
    around = {error["loc"][:depth] for error in found for depth in range(len(error["loc"]))}
    return (error for error in found if error["type"] != "too_short" or error["loc"] not in around)


_WORDS = {
    "missing": "this is missing.",
    "extra_forbidden": "this is not known here.",
    "int_type": "write a whole number.",
    "int_parsing": "write a whole number.",
    "int_from_float": "write a whole number.",
    "string_type": "write a text.",
    "bool_type": "write true or false.",
    "tuple_type": "write a list.",
    "dict_type": "write an object in braces.",
    "model_type": "write an object in braces.",
    "union_tag_not_found": "“kind” is missing.",
}
"""What is said for the types of error that need no figure."""


def _in_words(error: Any) -> str:
    kind, context = error["type"], error.get("ctx", {})
    match kind:
        case "greater_than_equal" | "greater_than":
            bound = f"at least {context['ge']}" if "ge" in context else f"more than {context.get('gt')}"
            return f"{_echo(error['input'])} is too small; {bound}."
        case "less_than_equal" | "less_than":
            return f"{_echo(error['input'])} is too large; at most {context.get('le', context.get('lt'))}."
        case "enum" | "literal_error" | "union_tag_invalid":
            allowed = str(context.get("expected") or context.get("expected_tags")).replace("'", "")
            return f"“{_echo(context.get('tag', error['input']))}” is not one of {allowed}."
        case "value_error":
            return _echo(context["error"], LONGEST_MESSAGE)
        case "string_pattern_mismatch":
            return f"“{_echo(error['input'])}” may hold only small letters, digits and single hyphens."
        case "too_short" | "string_too_short":
            return "nothing stands here yet." if context["min_length"] == 1 else "this is too short."
        case "too_long" | "string_too_long":
            return f"this is too long; at most {context['max_length']}."
    return _WORDS.get(kind, f"{error['msg'][0].lower()}{error['msg'][1:]}.")


def _echo(value: object, most: int = LONGEST_ECHO) -> str:
    """A value of the document, printable and cut to a length."""
    shown = printable_line(str(value)[: most + 1])
    return f"{shown[:most]}…" if len(shown) > most else shown
