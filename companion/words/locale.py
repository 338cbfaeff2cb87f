"""How a language writes numbers, lists and dates: tables of the CLDR, made when building."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import date, time
from functools import cache
from importlib import resources
from typing import Any, NamedTuple

HOURS = {"24": "HH:mm", "12": "h:mm a"}
"""The patterns of clocks of 24 and of 12 hours."""
LOCALES = {"en": "en_GB", "de": "de_DE"}
"""The locale of each language, with the country that its habits are of."""
TABLES = "locales.json"
_PART = re.compile(r"'([^']*)'|(EEEE|MMMM|MM|M|dd|d|y|HH|H|hh|h|mm|a)|(.)")


class Locale(NamedTuple):
    """The table of one locale, as ``build/catalogues.py`` takes it from the CLDR.

    ``days`` begin with Monday and ``months`` with January. ``first_day`` is 0 for Monday. ``pair``,
    ``start``, ``middle`` and ``end`` join what is listed; the patterns are those of dates (Unicode Technical
    Standard 35, part 4).
    """

    decimal: str
    group: str
    days: tuple[str, ...]
    months: tuple[str, ...]
    halves: tuple[str, str]
    first_day: int
    is_rtl: bool
    pair: str
    start: str
    middle: str
    end: str
    weekday_pattern: str
    date_pattern: str
    time_pattern: str

    def with_hours(self, hours: str) -> Locale:
        """With a clock of “24” or “12” hours; empty leaves the locale's own."""
        return self._replace(time_pattern=HOURS[hours]) if hours else self

    def number(self, number: float) -> str:
        """A number with at most one decimal: “1,200”, “4.5”; in German “1.200”, “4,5”."""
        written = f"{number:,.0f}" if number == round(number) else f"{number:,.1f}"
        return self.figures(written)

    def figures(self, written: str) -> str:
        """Figures as Python writes them, with this locale's signs for thousands and decimals."""
        return written.translate({ord(","): self.group, ord("."): self.decimal})

    def listed(self, words: Sequence[str]) -> str:
        """“the knee”, “the knee and the hip”, “a, b and c”. Raises IndexError for none."""
        if len(words) < 2:
            return words[0]
        if len(words) == 2:
            return self.pair.format(*words)
        joined = self.end.format(words[-2], words[-1])
        for word in reversed(words[1:-2]):
            joined = self.middle.format(word, joined)
        return self.start.format(words[0], joined)

    def day(self, day: date) -> str:
        """“Monday 2 March”."""
        return self._filled(self.weekday_pattern, day)

    def day_of_year(self, day: date) -> str:
        """“2 March 2026”."""
        return self._filled(self.date_pattern, day)

    def clock(self, clock: time) -> str:
        """“18:05”."""
        return self._filled(self.time_pattern, clock)

    def _filled(self, pattern: str, moment: date | time) -> str:
        return "".join(
            quoted or (self._field(field, moment) if field else other)
            for quoted, field, other in _PART.findall(pattern)
        )

    def _field(self, field: str, moment: date | time) -> str:
        if isinstance(moment, date):
            named = {"EEEE": self.days[moment.weekday()], "MMMM": self.months[moment.month - 1]}
            plain = {"d": moment.day, "M": moment.month, "y": moment.year}
        else:
            named = {"a": self.halves[moment.hour >= 12]}
            plain = {"H": moment.hour, "h": moment.hour % 12 or 12, "m": moment.minute}
        return named.get(field) or f"{plain[field[0]]:0{len(field)}d}"


@cache
def locale(language: str) -> Locale:
    """The table of a language's locale. Raises KeyError for a language that has none."""
    text = resources.files("companion.words").joinpath("catalogues", TABLES).read_text("utf-8")
    return Locale(**{name: _frozen(value) for name, value in json.loads(text)[language].items()})


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
