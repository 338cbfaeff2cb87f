"""Chosen movements and their versions as arguments of messages."""

from __future__ import annotations

from engine.base.message import Argument, Own, Version
from engine.movements.movement import library
from engine.movements.terms import named
from engine.session.choices import Chosen


def chosen_term(chosen: Chosen) -> Argument:
    return named(chosen.movement, chosen.name)


def version_term(chosen: Chosen) -> Argument:
    """A version of a movement of the library by its id, another one by the name that its coach gave it."""
    known = library().get(chosen.movement)
    names = {variant.id: variant.name for variant in known.variants} if known is not None else {}
    if names.get(chosen.variant) == chosen.variant_name:
        return Version(movement=chosen.movement, version=chosen.variant)
    return Own(own=chosen.variant_name)
