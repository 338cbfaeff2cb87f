"""Units: milliseconds, seconds and minutes; grams, kilograms and pounds.

The engine reckons durations in integer milliseconds and loads in integer grams. Intervals are
``[start, end)``.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from enum import StrEnum
from typing import Annotated

from pydantic import Field

MS_PER_S = 1_000
MS_PER_MIN = 60_000

GRAMS_PER_POUND = Decimal("453.59237")
"""Exact by definition: International Yard and Pound Agreement, 1959."""

HEAVIEST_LOAD_G = 500_000
"""A heavier load counts as a slip of the finger."""
Grams = Annotated[int, Field(ge=0, le=HEAVIEST_LOAD_G)]
"""A load, of one dumbbell; 0 is no weight."""


class LoadUnit(StrEnum):
    """The unit in which loads are shown. Stored loads are always grams."""

    kg = "kg"
    lb = "lb"


def ms(seconds: float) -> int:
    """A duration in seconds as milliseconds, rounded to the nearest."""
    return round(seconds * MS_PER_S)


def seconds(duration_ms: int) -> float | int:
    """A duration in seconds: an integer where it has no odd milliseconds, otherwise a float."""
    whole_s, odd_ms = divmod(duration_ms, MS_PER_S)
    return whole_s if odd_ms == 0 else duration_ms / MS_PER_S


def format_duration(duration_ms: int) -> str:
    """``m:ss``, or ``h:mm:ss`` from one hour. Rounds up, so that a running clock never shows 0:00 early."""
    whole_s = -(-duration_ms // MS_PER_S)
    minutes, second = divmod(whole_s, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02d}:{second:02d}" if hours else f"{minute}:{second:02d}"


def grams(amount: str | float | Decimal, unit: LoadUnit = LoadUnit.kg) -> int:
    """The grams of a load that was written in kilograms or pounds, with a comma or a point.

    Raises ValueError for what is not a number from 0 to 500 kg.
    """
    try:
        value = Decimal(str(amount).strip().replace(",", "."))
    except InvalidOperation:
        raise ValueError(f"{amount!r} is not a load.") from None
    factor = Decimal(1000) if unit is LoadUnit.kg else GRAMS_PER_POUND
    if not value.is_finite() or not 0 <= value * factor <= HEAVIEST_LOAD_G:
        raise ValueError(f"{amount!r} {unit} is not a load.")
    return int((value * factor).to_integral_value(ROUND_HALF_UP))


def load_in(load_g: int, unit: LoadUnit) -> Decimal:
    """A load as a decimal of the unit: exact in kilograms, to nine places in pounds."""
    if unit is LoadUnit.kg:
        return Decimal(load_g) / 1000
    return (Decimal(load_g) / GRAMS_PER_POUND).quantize(Decimal("0.000000001"))


def format_load(load_g: int, unit: LoadUnit = LoadUnit.kg) -> str:
    """A load to show, with its unit: at most two decimals in kilograms, one in pounds, no trailing zeros."""
    places = Decimal("0.01") if unit is LoadUnit.kg else Decimal("0.1")
    shown = load_in(load_g, unit).quantize(places, ROUND_HALF_UP).normalize()
    return f"{shown:f} {unit}"
