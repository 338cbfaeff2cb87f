"""Reading documents from outside: bounded, strict, and with faults as plain sentences."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple, NoReturn, TypeVar

from pydantic import BaseModel, ValidationError

_NOT_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def plain(text: str) -> str:
    """Text without what could steer a terminal or turn the order of what stands around it."""
    return _NOT_TEXT.sub("", text)


LARGEST_DOCUMENT_BYTES = 4_000_000
DEEPEST_NESTING = 40
LONGEST_NUMBER = 20
LONGEST_ECHO = 60
"""Characters of a document's own text that a sentence about it repeats."""
LONGEST_MESSAGE = 300


_STEERING = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def printable(text: str) -> str:
    """The text on one line, with a blank for each character that steers a terminal, turns the direction of
    writing, or stands for no character."""
    return _STEERING.sub(" ", text)


def _echo(value: object, most: int = LONGEST_ECHO) -> str:
    shown = printable(str(value)[: most + 1])
    return f"{shown[:most]}…" if len(shown) > most else shown


class Issue(NamedTuple):
    """A fault in a document: where it stands, and what is wrong in one plain sentence."""

    where: str
    message: str

    def __str__(self) -> str:
        return f"{self.where}: {self.message}" if self.where else self.message

    def in_short(self) -> Issue:
        """The same, fit to be shown whatever stands in the document."""
        return Issue(self.where, _echo(self.message, LONGEST_MESSAGE))


class Unreadable(ValueError):
    """A document that cannot be taken. ``issues`` holds every fault found."""

    def __init__(self, *issues: Issue) -> None:
        self.issues = issues
        super().__init__("; ".join(str(issue) for issue in issues))


def parse_json(raw: str | bytes, *, most_bytes: int = LARGEST_DOCUMENT_BYTES) -> object:
    """Decodes JSON from outside. Raises Unreadable with one sentence that says what is wrong.

    Refuses what the standard decoder lets pass or stumbles over: huge documents, deep nesting, endless
    digits, NaN and infinities, lone surrogates.
    """
    size = len(raw) if isinstance(raw, bytes) else len(raw.encode("utf-8", "surrogatepass"))
    if size > most_bytes:
        raise Unreadable(Issue("", f"The file is larger than {most_bytes // 1_000} kB."))
    try:
        text = raw.decode("utf-8-sig") if isinstance(raw, bytes) else raw
        text.encode("utf-8")
        _refuse_deep(text)
        return json.loads(text, parse_int=_bounded_int, parse_float=_finite, parse_constant=_no_constant)
    except UnicodeError:
        raise Unreadable(Issue("", "The file is not UTF-8 text.")) from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise Unreadable(Issue(where, "this is not JSON.")) from None


_TEXT_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*+(?:"|\\?\Z)|[\[\]{}]', re.DOTALL)
"""A text, to its end or to the end of everything, so that each letter is looked at once; or a bracket."""


def _refuse_deep(text: str) -> None:
    depth = 0
    for found in _TEXT_OR_BRACKET.finditer(text):
        if found[0] in "[{":
            depth += 1
            if depth > DEEPEST_NESTING:
                raise Unreadable(Issue("", f"The file is nested more than {DEEPEST_NESTING} levels deep."))
        elif found[0] in "]}":
            depth -= 1


def _bounded_int(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise Unreadable(Issue("", f"The number {digits[:8]}… is too long."))
    return int(digits)


def _finite(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value):
        raise Unreadable(Issue("", f"The number {digits[:20]} is too large."))
    return value


def _no_constant(name: str) -> NoReturn:
    raise Unreadable(Issue("", f"{name} is not a number."))


Document = TypeVar("Document", bound=BaseModel)


def read(model: type[Document], raw: str | bytes) -> Document:
    """Reads a document of a known format. Raises Unreadable with every fault and its place."""
    return read_content(model, parse_json(raw))


def read_content(model: type[Document], content: object) -> Document:
    """As read, of what ``parse_json`` gave."""
    _refuse_other(model, content)
    try:
        return model.model_validate_json(json.dumps(content))
    except ValidationError as error:
        faults = error.errors(include_url=False)
        raise Unreadable(*map(issue_of, own_faults(faults))) from None


def issue_of(fault: Any) -> Issue:
    """One of a ValidationError's faults, at its place and in words."""
    return Issue(place(fault["loc"]), _in_words(fault))


def own_faults(faults: Iterable[Any]) -> Iterator[Any]:
    """A list is also called too short where only its own entries are faulty: those are what is wrong."""
    held = list(faults)
    around = {fault["loc"][:depth] for fault in held for depth in range(len(fault["loc"]))}
    return (fault for fault in held if fault["type"] != "too_short" or fault["loc"] not in around)


def _refuse_other(model: type[BaseModel], content: object) -> None:
    """Another kind of document, or a newer version of ours, gets its own sentence."""
    if not isinstance(content, dict):
        raise Unreadable(Issue("", "The file does not hold one JSON object."))
    expected, ours = (model.model_fields[name].default for name in ("format", "version"))
    found, version = content.get("format"), content.get("version")
    if found != expected:
        raise Unreadable(Issue("format", f"this is not a {expected.replace('-', ' ')}."))
    if isinstance(version, int) and version > ours:
        raise Unreadable(
            Issue(
                "version",
                f"this file was written by a newer version ({version}); this one reads up to {ours}.",
            )
        )


_BLOCK_KINDS = frozenset({"warm_up", "practice", "work", "cool_down"})


def place(location: Sequence[str | int]) -> str:
    """A place in a document as a person counts: ``blocks 3 › movements 1 › tempo``."""
    words: list[str] = []
    for previous, step in zip((None, *location), location, strict=False):
        if isinstance(step, int):
            words[-1:] = [f"{words[-1]} {step + 1}" if words else str(step + 1)]
        elif not (isinstance(previous, int) and step in _BLOCK_KINDS):
            words.append(_echo(step))
    return " › ".join(words)


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
}


def _in_words(fault: Any) -> str:
    kind, context = fault["type"], fault.get("ctx", {})
    match kind:
        case "greater_than_equal" | "greater_than":
            return (
                f"{_echo(fault['input'])} is too small; {'at least' if 'ge' in context else 'more than'} "
                + (f"{context.get('ge', context.get('gt'))}.")
            )
        case "less_than_equal" | "less_than":
            return f"{_echo(fault['input'])} is too large; at most {context.get('le', context.get('lt'))}."
        case "enum" | "literal_error" | "union_tag_invalid":
            allowed = context.get("expected") or context.get("expected_tags")
            found = context.get("tag", fault["input"])
            return f"“{_echo(found)}” is not one of {str(allowed).replace(chr(39), '')}."
        case "value_error":
            return _echo(context["error"], LONGEST_MESSAGE)
        case "string_pattern_mismatch":
            return f"“{_echo(fault['input'])}” may hold only small letters, digits and single hyphens."
        case "union_tag_not_found":
            return "“kind” is missing."
        case "too_short" | "string_too_short":
            return "nothing stands here yet." if context["min_length"] == 1 else "this is too short."
        case "too_long" | "string_too_long":
            return f"this is too long; at most {context['max_length']}."
    return _WORDS.get(kind, f"{fault['msg'][0].lower()}{fault['msg'][1:]}.")
