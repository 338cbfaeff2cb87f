"""Faults in documents from outside: each says where it is, as a path, and what is wrong, as a message."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from engine.base.message import Argument, Count, Message, Own, listed, message
from engine.base.model import NotSeen
from engine.base.printable import printable_line

LONGEST_ECHO = 60
"""How many characters of a document's own text a sentence about it repeats."""

Place = tuple[str | int, ...]
"""The way to a part of a document, counted from 0, as in ``("blocks", 2, "work_s")``; empty for the document
itself."""


class Issue(NamedTuple):
    """A fault in a document: ``where`` it is, and ``what`` is wrong."""

    where: Place
    what: Message


class Unreadable(ValueError):
    """Raised for a document that cannot be accepted. ``issues`` holds every fault found."""

    def __init__(self, *issues: Issue) -> None:
        self.issues = issues
        super().__init__(*issues)


class WrongValue(ValueError):
    """Raised for a value that cannot be accepted; ``what`` says why."""

    def __init__(self, what: Message) -> None:
        self.what = what
        super().__init__(what.code)


def unreadable(what: Message) -> Unreadable:
    """That a document cannot be accepted as a whole."""
    return Unreadable(Issue((), what))


_BLOCK_KINDS = frozenset({"warm_up", "practice", "work", "cool_down"})


def without_kinds(location: Sequence[str | int]) -> Place:
    """The location of a pydantic error as a path in the document.

    After the number of a block pydantic adds the block's kind, which is no level of the document.
    """
    pairs = zip((None, *location), location, strict=False)
    return tuple(part for before, part in pairs if not (isinstance(before, int) and part in _BLOCK_KINDS))


def issue_of(error: Any) -> Issue:
    """One entry of ``ValidationError.errors()`` at its place and as a message."""
    return Issue(without_kinds(error["loc"]), _what(error))


def own_errors(errors: Iterable[Any]) -> Iterator[Any]:
    """Drops “too short” for a list that is short only because some of its entries are faulty."""
    found = list(errors)
    around = {error["loc"][:depth] for error in found for depth in range(len(error["loc"]))}
    return (error for error in found if error["type"] != "too_short" or error["loc"] not in around)


_WHOLE_NUMBER = message("write_whole_number")
_PARTS = message("write_parts_in_braces")
_DAY = message("write_day")
_MOMENT = message("write_moment")
_WHAT = {
    "missing": message("missing"),
    "extra_forbidden": message("not_known_here"),
    "int_type": _WHOLE_NUMBER,
    "int_parsing": _WHOLE_NUMBER,
    "int_from_float": _WHOLE_NUMBER,
    "string_type": message("write_text"),
    "bool_type": message("write_true_or_false"),
    "tuple_type": message("write_list"),
    "dict_type": _PARTS,
    "model_type": _PARTS,
    "union_tag_not_found": message("kind_missing"),
    "json_invalid": message("no_text"),
    "date_parsing": _DAY,
    "date_from_datetime_parsing": _DAY,
    "date_type": _DAY,
    "datetime_parsing": _MOMENT,
    "datetime_from_date_parsing": _MOMENT,
    "datetime_type": _MOMENT,
    "timezone_aware": _MOMENT,
}
"""What is said for the types of error that need no figure."""


def _what(error: Any) -> Message:
    kind, context = error["type"], error.get("ctx", {})
    match kind:
        case "greater_than_equal":
            return message("too_small", written=echo(error["input"]), least=_bound(context["ge"]))
        case "greater_than":
            return message("not_more", written=echo(error["input"]), bound=_bound(context["gt"]))
        case "less_than_equal" | "less_than":
            most = _bound(context.get("le", context.get("lt")))
            return message("too_large", written=echo(error["input"]), most=most)
        case "enum" | "literal_error" | "union_tag_invalid":
            allowed = str(context.get("expected") or context.get("expected_tags"))
            choices = re.findall(r"'([^']*)'", allowed) or [allowed]
            written = echo(context.get("tag", error["input"]))
            return message("none_of_these", written=written, allowed=listed(map(echo, choices)))
        case "value_error" if isinstance(context["error"], WrongValue):
            return context["error"].what
        case "value_error" if isinstance(context["error"], NotSeen):
            return message("name_not_seen")
        case "too_short" | "string_too_short":
            return message("nothing_here") if context["min_length"] == 1 else message("too_short")
        case "too_long" | "string_too_long":
            return message("too_long", most=Count(count=context["max_length"]))
        case "string_pattern_mismatch" if "a-z0-9" in context["pattern"]:
            return message("small_letters_only", written=echo(error["input"]))
    return _WHAT.get(kind) or message("not_understood", written=echo(error["input"]))


def _bound(value: Any) -> Argument:
    return Count(count=value) if isinstance(value, int | float) and value >= 0 else echo(value)


def echo(value: object, most: int = LONGEST_ECHO) -> Own:
    """A value of the document, printable and cut to a length."""
    return Own(own=short(value, most) or "–")


def short(value: object, most: int = LONGEST_ECHO) -> str:
    """A text of the document, printable and cut to a length."""
    shown = printable_line(str(value)[: most + 1])
    return f"{shown[:most]}…" if len(shown) > most else shown
