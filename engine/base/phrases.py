"""Phrases from which the sentences of several rooms are built."""

from __future__ import annotations

from collections.abc import Sequence


def in_figures(number: float) -> str:
    """A number with at most one decimal: “1,200”, “4.5”."""
    return f"{number:,.0f}" if number == round(number) else f"{number:,.1f}"


def number_of(number: float, one: str) -> str:
    """How many there are of something that takes a plural in s: “1 set”, “2.5 sets”, “1,200 sets”."""
    return f"{in_figures(number)} {one if number == 1 else one + 's'}"


def listed(words: Sequence[str]) -> str:
    """“the knee”, “the knee and the hip”, “a, b and c”: each word once, in the order given.

    Raises IndexError for no words.
    """
    once = list(dict.fromkeys(words))
    return " and ".join(filter(None, (", ".join(once[:-1]), once[-1])))
