"""Chosen movements and their versions as arguments of messages."""

from __future__ import annotations

from engine.base.message import Argument
from engine.movements.terms import named, named_version
from engine.session.choices import Chosen


def chosen_term(chosen: Chosen) -> Argument:
    return named(chosen.movement, chosen.name)


def version_term(chosen: Chosen) -> Argument:
    """A version of a movement of the library by its id, another one by the name that its coach gave it."""
    return named_version(chosen.movement, chosen.variant, chosen.variant_name)
