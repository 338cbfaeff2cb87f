"""The languages of the application: a catalogue and a locale each."""

from __future__ import annotations

from functools import cache
from gettext import GNUTranslations, NullTranslations
from importlib import resources
from typing import NamedTuple

from companion.words.locale import LOCALES, Locale, locale

SOURCE = "en"
"""The language that the sentences are written in: its catalogue is the code."""
NAMES = {"en": "English", "de": "Deutsch"}
"""Each language that is offered, in its own words: those whose catalogues are complete."""


class Language(NamedTuple):
    """A language by its code of ISO 639-1."""

    code: str
    catalogue: NullTranslations
    locale: Locale


@cache
def language(code: str) -> Language:
    """Raises KeyError for a language that has no catalogue."""
    if code not in LOCALES:
        raise KeyError(code)
    if code == SOURCE:
        return Language(code, NullTranslations(), locale(code))
    path = resources.files("companion.words").joinpath("catalogues", f"{code}.mo")
    with path.open("rb") as file:
        return Language(code, GNUTranslations(file), locale(code))


@cache
def chosen(tags: tuple[str, ...]) -> Language:
    """The first language that is offered, of tags such as ``de-AT`` in order of preference."""
    codes = (tag.replace("_", "-").split("-")[0].lower() for tag in tags)
    return language(next((code for code in codes if code in NAMES), SOURCE))
