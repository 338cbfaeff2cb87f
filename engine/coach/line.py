"""A line of a page for the coach."""

from __future__ import annotations

from typing import NamedTuple

from engine.base.message import Argument, Message, Said


class Line(NamedTuple):
    """What is said ``about`` one thing, one sentence after another; about nothing by name where that is
    None."""

    about: Argument | None
    said: Said


def line(about: Argument | None, *said: Message) -> Line:
    return Line(about, said)
