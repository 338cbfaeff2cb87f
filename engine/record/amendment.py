"""Corrections and late answers to a record, which itself never changes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import Literal

from pydantic import AwareDatetime, JsonValue

from engine.base.model import Model
from engine.record.record import Record, SetAnswer

A_STEP = timedelta(milliseconds=1)


class AmendedField(StrEnum):
    """The part of a record that an amendment changes, or adds a late answer to."""

    effort = "effort"
    note = "note"
    next_morning_pain = "next_morning_pain"
    soreness = "soreness"
    set = "set"
    """The value is an object {key, answer}."""


class Amendment(Model):
    """One correction of a record, or a late answer to it."""

    format: Literal["amendment"] = "amendment"
    version: Literal[1] = 1
    id: str
    record_id: str
    at: AwareDatetime
    field: AmendedField
    value: JsonValue


class SetCorrection(Model):
    """What the person now says about one set; ``key`` is its ``set_key``."""

    key: str
    answer: SetAnswer


def moment_after(earlier: Iterable[Amendment], field: AmendedField, now: datetime) -> datetime:
    """The moment of a new amendment: after all others of its field, even if the clock went back."""
    last = max((one.at for one in earlier if one.field is field), default=None)
    if last is None or last < now:
        return now
    return last + min(A_STEP, datetime.max.replace(tzinfo=UTC) - last)


def is_last_word(earlier: Iterable[Amendment], field: AmendedField, value: JsonValue) -> bool:
    """Whether the latest amendment about the same set, joint point or other field says this already."""
    about = _matter(field, value)
    same = [one for one in earlier if _matter(one.field, one.value) == about]
    return bool(same) and max(same, key=lambda one: (one.at, one.id)).value == value


def _matter(field: AmendedField, value: JsonValue) -> tuple[JsonValue, ...]:
    named = value if isinstance(value, dict) else {}
    return field, named.get("key"), named.get("joint"), named.get("side")


def amended(record: Record, amendments: Iterable[Amendment]) -> Record:
    """The record as corrected by its own amendments, of which the latest of each field counts.

    Amendments of other records are ignored. The late answers of the next morning change nothing in a record.
    Raises ValueError for a value that the field cannot have.
    """
    for amendment in sorted(amendments, key=lambda a: (a.at, a.id)):
        if amendment.record_id == record.id:
            record = _amend(record, amendment)
    return record


def _amend(record: Record, amendment: Amendment) -> Record:
    match amendment.field:
        case AmendedField.effort | AmendedField.note:
            return Record.model_validate(record.model_dump() | {amendment.field.value: amendment.value})
        case AmendedField.set:
            correction = SetCorrection.model_validate(amendment.value)
            answer = correction.answer.model_dump()
            sets = tuple(s.model_copy(update=answer) if s.key == correction.key else s for s in record.sets)
            return record.model_copy(update={"sets": sets})
        case AmendedField.next_morning_pain | AmendedField.soreness:
            return record
