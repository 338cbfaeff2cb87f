"""Pieces of sentences that more than one room uses."""

from __future__ import annotations

from collections.abc import Sequence

from engine.base.model import LONGEST_SENTENCE


def count(number: float, one: str) -> str:
    """“1 set”, “2.5 sets”, “1,200 repetitions”."""
    return f"{figure(number)} {one if number == 1 else one + 's'}"


def figure(number: float) -> str:
    """“1,200”, “4.5”: at most one decimal."""
    return f"{number:,.0f}" if number == round(number) else f"{number:,.1f}"


def at_most_a_sentence(said: str) -> str:
    """Cut where long names make it longer than a document holds."""
    return said if len(said) <= LONGEST_SENTENCE else f"{said[: LONGEST_SENTENCE - 1]}…"


def rounds_words(rounds: int) -> str:
    return "1 round" if rounds == 1 else f"{rounds} rounds"


def lower_first(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def and_so_on(words: Sequence[str]) -> str:
    """“the knee”, “the knee and the hip”, each once and in their order."""
    once = list(dict.fromkeys(words))
    return " and ".join(filter(None, (", ".join(once[:-1]), once[-1])))
