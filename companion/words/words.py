"""Turns the engine's messages into sentences."""

from __future__ import annotations

import string
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from companion.words.plural import Plural
from companion.words.registry import SENTENCES
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
from engine.base.phrases import in_figures
from engine.base.units import LoadUnit, format_duration, format_load, ms
from engine.movements.movement import library

UNITS_ALOUD = {LoadUnit.kg: ("kilogram", "kilograms"), LoadUnit.lb: ("pound", "pounds")}
"""One, and any other number."""
UNKNOWN = "Noted by a newer companion."


@dataclass(frozen=True)
class Words:
    """The words of one window. Messages that are not known read as noted by a newer companion."""

    unit: LoadUnit = LoadUnit.kg

    def say(self, message: Message) -> str:
        """The sentence of a message, or the phrase of one that is an argument of another."""
        sentence = SENTENCES.get(message.code)
        if isinstance(sentence, Plural):
            counted = message.arguments.get(sentence.by)
            sentence = sentence.one if counted == Count(count=1) else sentence.other
        try:
            return UNKNOWN if sentence is None else _Filler(self).vformat(sentence, (), message.arguments)
        except KeyError:  # a newer companion says more with the same code
            return UNKNOWN

    def read(self, said: Message | str) -> str:
        """The sentence of a message; one that is written out already stays as it is."""
        return said if isinstance(said, str) else self.say(said)

    def sentences(self, messages: Iterable[Message]) -> str:
        """Several sentences, one after the other."""
        return " ".join(map(self.say, messages))

    def argument(self, argument: Argument, form: str = "") -> str:
        """An argument as it stands in a sentence; ``form`` is what follows its name there."""
        match argument:
            case Message():
                return self.say(argument)
            case Own(own=words):
                return words
            case Moves(movement=slug):
                return library()[slug].name if slug in library() else slug
            case Clock(clock=clock):
                return f"{clock:%H:%M}"
            case Version(movement=slug, version=version):
                return version_name(slug, version)
            case Joint(joint=joint, side=side):
                return self.say(Message(code="_".join(filter(None, ("joint", joint, side)))))
            case Count(count=count):
                return in_figures(count)
            case Seconds(seconds=length_s):
                return length(length_s, form)
            case Weight(grams=load_g):
                return aloud(load_g, self.unit) if form == "aloud" else format_load(load_g, self.unit)
            case Day(day=day):
                return f"{day.day} {day:%B %Y}" if form == "date" else f"{day:%A} {day.day} {day:%B}"
            case Listed(listed=several):
                return listed([self.argument(one, form) for one in several])


def version_name(movement: str, version: str) -> str:
    variants = library()[movement].variants if movement in library() else ()
    return next((variant.name for variant in variants if variant.id == version), version)


def length(length_s: float, form: str = "") -> str:
    """“45 s”, “27.5 s”, and from one minute on, or as a ``clock``, “1:30”; as ``seconds`` always “90 s”."""
    if form == "clock" or (length_s >= 60 and form != "seconds"):
        return format_duration(ms(length_s))
    return f"{in_figures(length_s)} s"


def aloud(load_g: int, unit: LoadUnit) -> str:
    """A load as a voice says it: “1 kilogram”, “12.5 kilograms”."""
    figure, (one, more) = format_load(load_g, unit).split()[0], UNITS_ALOUD[unit]
    return f"{figure} {one if figure == '1' else more}"


def listed(words: Sequence[str]) -> str:
    """“the knee”, “the knee and the hip”, “a, b and c”."""
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


class _Filler(string.Formatter):
    """Fills a sentence with its arguments."""

    def __init__(self, words: Words) -> None:
        self._words = words

    def format_field(self, value: Any, format_spec: str) -> str:
        return self._words.argument(value, format_spec)


ENGLISH = Words()


def english(message: Message) -> str:
    return ENGLISH.say(message)
