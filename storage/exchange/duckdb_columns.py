"""The columns of the exported lines, from which DuckDB loads them.

If DuckDB guesses types from the first lines, a field that is empty there loses later values.
"""

from __future__ import annotations

from datetime import date
from enum import Enum
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import AwareDatetime, BaseModel, JsonValue

from engine.base.message import Message
from engine.coach.session_report import SessionReport

_TYPES = {bool: "BOOLEAN", int: "BIGINT", float: "DOUBLE", str: "VARCHAR", date: "DATE"}
_OF_A_LINE = {"trainee_id": "VARCHAR", "iso_week": "VARCHAR"}
"""The fields of a line besides those of the session (``storage.exchange.coach_page.session_line``)."""


def loading_sql(lines_name: str) -> str:
    """The command that makes the table ``records`` from the file of lines in the same folder."""
    columns = ", ".join(f"{name}: {_quoted(kind)}" for name, kind in (_OF_A_LINE | columns_of()).items())
    return (
        f"CREATE OR REPLACE TABLE records AS SELECT * FROM read_json({_quoted(lines_name)}, "
        f"format = 'newline_delimited', columns = {{{columns}}});\n"
    )


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def columns_of(model: type[BaseModel] = SessionReport) -> dict[str, str]:
    """The DuckDB type of each field, by its name."""
    return {name: _type_of(field.annotation) for name, field in model.model_fields.items()}


def _type_of(kind: Any) -> str:
    origin, inner = get_origin(kind), get_args(kind)
    if kind is AwareDatetime:
        return "TIMESTAMP WITH TIME ZONE"
    if kind in (JsonValue, Message):
        return "JSON"
    if origin is Annotated:
        return _type_of(inner[0])
    if origin in (Union, UnionType):
        (only,) = (one for one in inner if one is not NoneType)
        return _type_of(only)
    if origin is Literal:
        return _type_of(type(inner[0]))
    if origin is tuple:
        return f"{_type_of(inner[0])}[]"
    if issubclass(kind, BaseModel):
        return "STRUCT({})".format(", ".join(f'"{name}" {one}' for name, one in columns_of(kind).items()))
    return _TYPES[str if issubclass(kind, Enum) else kind]
