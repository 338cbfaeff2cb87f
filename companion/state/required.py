"""What an action or a screen cannot do without."""

from __future__ import annotations

from typing import TypeVar

T = TypeVar("T")


def required(value: T | None, otherwise: str) -> T:
    """The value. Raises LookupError with the sentence ``otherwise`` if there is none."""
    if value is None:
        raise LookupError(otherwise)
    return value
