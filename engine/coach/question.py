"""A question for the coach, as it is saved and sent."""

from __future__ import annotations

from typing import Literal

from engine.base.message import Message, Own
from engine.base.model import Model

MOST_QUESTIONS = 50
About = Literal["pain", "loads", "effort", "given_up", "notes"]
"""The part of a page that a question is about: keeping the part back keeps back the question too."""


Asked = Message | Own
"""What is asked: a question that a week suggests, or the person's own words."""


class Question(Model):
    """One question for the coach. ``about`` is None where it is about nothing that can be kept back."""

    said: Asked
    about: About | None = None
