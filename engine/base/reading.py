"""Documents from outside, read strictly and within bounds. What is refused says why."""

from __future__ import annotations

import json
import math
import re
from typing import NoReturn, TypeVar

from pydantic import BaseModel, ValidationError

from engine.base.issue import Unreadable, echo, issue_of, own_errors, unreadable
from engine.base.message import Count, message

LARGEST_DOCUMENT_BYTES = 4_000_000
DEEPEST_NESTING = 40
LONGEST_NUMBER = 20
"""Digits."""


def parse_json(raw: str | bytes, *, most_bytes: int = LARGEST_DOCUMENT_BYTES) -> object:
    """Decodes JSON from outside. Raises Unreadable with one fault.

    It refuses what the standard decoder lets through or fails on: huge documents, deep nesting, numbers with
    endless digits, NaN and infinities, lone surrogates.
    """
    size = len(raw) if isinstance(raw, bytes) else len(raw.encode("utf-8", "surrogatepass"))
    if size > most_bytes:
        raise unreadable(message("file_too_large", most=Count(count=most_bytes // 1_000)))
    try:
        text = raw.decode("utf-8-sig") if isinstance(raw, bytes) else raw
        text.encode("utf-8")
        _refuse_deep(text)
        return json.loads(text, parse_int=_bounded_int, parse_float=_finite, parse_constant=_no_constant)
    except UnicodeError:
        raise unreadable(message("no_text")) from None
    except json.JSONDecodeError as error:
        line, column = Count(count=error.lineno), Count(count=error.colno)
        raise unreadable(message("cannot_be_read_at", line=line, column=column)) from None


_STRING_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*+(?:"|\\?\Z)|[\[\]{}]', re.DOTALL)
"""A bracket, or a string up to its end. An unfinished string runs to the end of the document, so that the
search looks at each character once."""


def _refuse_deep(text: str) -> None:
    depth = 0
    for found in _STRING_OR_BRACKET.finditer(text):
        if found[0] in "[{":
            depth += 1
            if depth > DEEPEST_NESTING:
                raise unreadable(message("nested_too_deep", levels=Count(count=DEEPEST_NESTING)))
        elif found[0] in "]}":
            depth -= 1


def _bounded_int(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise unreadable(message("number_too_large", number=echo(digits, 8)))
    return int(digits)


def _finite(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value):
        raise unreadable(message("number_too_large", number=echo(digits, 20)))
    return value


def _no_constant(name: str) -> NoReturn:
    raise unreadable(message("not_a_number", written=echo(name)))


Document = TypeVar("Document", bound=BaseModel)


def read(model: type[Document], raw: str | bytes) -> Document:
    """Reads a document of a known format. Raises Unreadable with every fault and its place."""
    return read_content(model, parse_json(raw))


def read_content(model: type[Document], content: object) -> Document:
    """Does what ``read`` does with a document that ``parse_json`` has already decoded."""
    _refuse_other_format(model, content)
    try:
        return model.model_validate_json(json.dumps(content))
    except ValidationError as error:
        errors = error.errors(include_url=False)
        raise Unreadable(*map(issue_of, own_errors(errors))) from None


def _refuse_other_format(model: type[BaseModel], content: object) -> None:
    """Refuses another kind of document, or a newer version of ours."""
    if not isinstance(content, dict):
        raise unreadable(message("another_kind_of_file"))
    expected, ours = (model.model_fields[name].default for name in ("format", "version"))
    found, version = content.get("format"), content.get("version")
    if found != expected:
        raise unreadable(message("another_kind_of_file"))
    if isinstance(version, int) and version > ours:
        raise unreadable(message("made_with_newer"))
