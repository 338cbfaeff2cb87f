"""Numbers, lists, dates and times against Babel, which has the tables and rules of the Unicode CLDR.

The tables that the application carries are taken from it when building; what reads them is ours.
"""

from __future__ import annotations

from datetime import date, time, timedelta
from decimal import Decimal

import catalogues
import pytest
from babel import Locale as Cldr
from babel.dates import format_date, format_skeleton, format_time
from babel.lists import format_list
from babel.numbers import format_decimal

from companion.words.locale import LOCALES, Locale, locale

BESIDES = ("en_US", "fr_FR", "pl_PL", "fi_FI", "pt_BR", "tr_TR")
"""Locales that are not offered, whose rules any language may have."""
NAMES = (*LOCALES.values(), *BESIDES)


def table(name: str) -> Locale:
    return catalogues.table(name)


@pytest.mark.parametrize("language, name", LOCALES.items())
def test_the_tables_that_are_carried_are_those_of_the_cldr(language: str, name: str) -> None:
    assert locale(language) == table(name)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("number", [0, 1, 7.5, 12, 999, 1_000, 1_234.5, 12_345, 1_234_567])
def test_numbers_read_as_the_cldr_writes_them(name: str, number: float) -> None:
    cldr = Cldr.parse(name)
    grouped = format_decimal(Decimal(str(number)), format="#,##0.#", locale=cldr)
    assert table(name).number(number) == grouped


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("several", [("a",), ("a", "b"), ("a", "b", "c"), ("a", "b", "c", "d", "e")])
def test_lists_are_joined_as_the_cldr_joins_them(name: str, several: tuple[str, ...]) -> None:
    assert table(name).listed(several) == format_list(several, locale=name)


@pytest.mark.parametrize("name", NAMES)
def test_dates_read_as_the_cldr_writes_them(name: str) -> None:
    for day in (date(2026, 1, 1) + timedelta(days=number * 9) for number in range(41)):
        assert table(name).day_of_year(day) == format_date(day, "long", locale=name)


def test_weekdays_and_days_read_as_the_cldr_writes_them() -> None:
    for day in (date(2026, 3, 2) + timedelta(days=number) for number in range(8)):
        assert table("en_GB").day(day) == format_skeleton("MMMMEEEEd", day, locale="en_GB")


@pytest.mark.parametrize("name", ["de_DE", "fr_FR", "en_US", "pt_BR"])
def test_where_the_cldr_has_no_such_pattern_the_full_date_is_read_without_its_year(name: str) -> None:
    for day in (date(2026, 3, 2) + timedelta(days=number) for number in range(8)):
        assert format_date(day, "full", locale=name).startswith(table(name).day(day))


@pytest.mark.parametrize("name", NAMES)
def test_times_read_as_the_cldr_writes_them(name: str) -> None:
    for clock in (time(0, 0), time(0, 5), time(9, 30), time(12, 0), time(13, 7), time(23, 59)):
        assert table(name).clock(clock) == format_time(clock, "short", locale=name)


@pytest.mark.parametrize("name", NAMES)
def test_the_week_begins_as_the_cldr_says(name: str) -> None:
    assert table(name).first_day == Cldr.parse(name).first_week_day
