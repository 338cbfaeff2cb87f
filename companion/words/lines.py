"""Writes the lines of a page for the coach."""

from __future__ import annotations

from dataclasses import replace

from companion.words.saying import msgid, words_here
from companion.words.words import Words
from engine.base.units import LoadUnit
from engine.coach.line import Line

ABOUT = msgid("{about}: {said}")


def in_unit(unit: LoadUnit) -> Words:
    """The words that are spoken here, with loads in a unit."""
    return replace(words_here(), unit=unit)


def line_text(line: Line, words: Words | None = None) -> str:
    """“Squat: 12 sets. 8 of 10 rated were hard.”"""
    words = words or words_here()
    said = words.sentences(line.said)
    return said if line.about is None else words.text(ABOUT, about=words.argument(line.about), said=said)
