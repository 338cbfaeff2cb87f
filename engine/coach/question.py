"""A question for the coach, as it is saved and sent."""

from __future__ import annotations

from typing import Literal, NamedTuple

from engine.base.message import Message
from engine.base.model import Model, Sentence

MOST_QUESTIONS = 50
About = Literal["pain", "loads", "effort", "given_up", "notes"]
"""The part of a page that a question is about: keeping the part back keeps back the question too."""


class Suggested(NamedTuple):
    """A question that a week suggests, before the person has changed or kept it."""

    said: str | Message
    about: About | None = None


class Question(Model):
    """One question for the coach. ``about`` is None where it is about nothing that can be kept back."""

    text: Sentence
    about: About | None = None
