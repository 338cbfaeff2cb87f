"""Turns texts and the engine's messages into sentences of one language."""

from __future__ import annotations

import string
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, time
from typing import Any

from companion.words.language import SOURCE, Language, language
from companion.words.plural import Plural
from companion.words.registry import ALOUD, OF_LIBRARY, SENTENCES, UNKNOWN
from engine.base.message import (
    Argument,
    Clock,
    Count,
    Day,
    Joint,
    Listed,
    Message,
    Moves,
    Own,
    Seconds,
    Version,
    Weight,
)
from engine.base.units import LoadUnit, format_duration, format_load, ms
from engine.movements.movement import library

Fills = Argument | str | float | date | time
"""What fills a text: a number is written as the language writes it, and words stay as they are."""

JOINED = {"row": ", ", "sum": " + "}
"""What stands between the figures of a row, and the members of a sum, by the form that a sentence asks
for."""


def _source() -> Language:
    return language(SOURCE)


@dataclass(frozen=True)
class Words:
    """The words of one window. Messages that are not known read as noted by a newer companion."""

    unit: LoadUnit = LoadUnit.kg
    language: Language = field(default_factory=_source)

    def text(self, text: str, /, **fills: Fills) -> str:
        """A text of the application, translated and then filled."""
        return self._filled(self.language.catalogue.gettext(text), fills) if text else ""

    def several(self, one: str, other: str, /, count: float, **fills: Fills) -> str:
        """The text for one or for another ``count``, filled with that and more."""
        text = self.language.catalogue.ngettext(one, other, _counted(count))
        return self._filled(text, {"count": count, **fills})

    def own(self, text: str) -> str:
        """A text of the library or the samples, translated; what a coach wrote stays as it is."""
        return self.language.catalogue.pgettext(OF_LIBRARY, text) if text else ""

    def say(self, message: Message) -> str:
        """The sentence of a message, or the phrase of one that is an argument of another."""
        try:
            return self._filled(self._sentence(message), message.arguments)
        except KeyError:  # a newer companion says another code, or more with the same one
            return self.text(UNKNOWN)

    def _sentence(self, message: Message) -> str:
        sentence, catalogue = SENTENCES[message.code], self.language.catalogue
        if not isinstance(sentence, Plural):
            return catalogue.pgettext(message.code, sentence)
        match message.arguments[sentence.by]:
            case Count(count=count):
                number = _counted(count)
            case _:
                number = _counted(0)
        return catalogue.npgettext(message.code, sentence.one, sentence.other, number)

    def sentences(self, messages: Iterable[Message]) -> str:
        """Several sentences, one after the other."""
        return " ".join(map(self.say, messages))

    def _filled(self, text: str, fills: Any) -> str:
        return _Filler(self).vformat(text, (), fills)

    def argument(self, argument: Fills, form: str = "") -> str:
        """An argument as it stands in a sentence; ``form`` is what follows its name there."""
        match argument:
            case str() | float() | int() | date() | time():
                return self._plain(argument, form)
            case Own(own=plain) | Count(count=plain) | Day(day=plain) | Clock(clock=plain):
                return self._plain(plain, form)
            case Message():
                return self.say(argument)
            case Moves(movement=slug):
                return self.own(library()[slug].name if slug in library() else slug)
            case Version(movement=slug, version=version):
                return self.own(version_name(slug, version))
            case Joint(joint=joint, side=side):
                return self.say(Message(code="_".join(filter(None, ("joint", joint, side)))))
            case Seconds(seconds=length_s):
                return self.length(length_s, form)
            case Weight(grams=load_g):
                return self.aloud(load_g) if form == "aloud" else self.load(load_g)
            case Listed(listed=several) if form in JOINED:
                return JOINED[form].join(map(self.argument, several))
            case Listed(listed=several):
                return self.listed(self.argument(one, form) for one in several)

    def _plain(self, value: str | float | date | time, form: str = "") -> str:
        habits = self.language.locale
        match value:
            case str():
                return value
            case date():
                return habits.day_of_year(value) if form == "date" else habits.day(value)
            case time():
                return habits.clock(value)
            case _:
                return habits.number(value)

    def listed(self, words: Iterable[str]) -> str:
        """“the knee”, “the knee and the hip”, “a, b and c”: each once. Raises IndexError for none."""
        return self.language.locale.listed(tuple(dict.fromkeys(words)))

    def length(self, length_s: float, form: str = "") -> str:
        """“45 s”, “27.5 s”, and from one minute on, or as a ``clock``, “1:30”; as ``seconds`` always “90
        s”."""
        if form == "clock" or (length_s >= 60 and form != "seconds"):
            return format_duration(ms(length_s))
        return f"{self.language.locale.number(length_s)} s"

    def load(self, load_g: int) -> str:
        """“12.5 kg”, in this window's unit."""
        return self.language.locale.figures(format_load(load_g, self.unit))

    def aloud(self, load_g: int) -> str:
        """A load as a voice says it: “1 kilogram”, “12.5 kilograms”."""
        figure, aloud = format_load(load_g, self.unit).split()[0], ALOUD[self.unit]
        text = self.language.catalogue.ngettext(aloud.one, aloud.other, _counted(float(figure)))
        return self._filled(text, {aloud.by: self.language.locale.figures(figure)})


def _counted(number: float) -> int:
    """The number that a plural goes by: 1.5 of something reads as several."""
    return int(number) if number == int(number) else 2


def version_name(movement: str, version: str) -> str:
    variants = library()[movement].variants if movement in library() else ()
    return next((variant.name for variant in variants if variant.id == version), version)


class _Filler(string.Formatter):
    """Fills a sentence with its arguments."""

    def __init__(self, words: Words) -> None:
        self._words = words

    def format_field(self, value: Any, format_spec: str) -> str:
        return self._words.argument(value, format_spec)


ENGLISH = Words()


def english(message: Message) -> str:
    return ENGLISH.say(message)
