"""Phrases from which the sentences of several rooms are built."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def in_figures(number: float) -> str:
    """A number with at most one decimal: “1,200”, “4.5”."""
    return f"{number:,.0f}" if number == round(number) else f"{number:,.1f}"


def rounds_of(by_block: Iterable[int]) -> str:
    """The rounds of each work block: “3 rounds”, “2 + 2 rounds”."""
    rounds = tuple(by_block)
    return f"{' + '.join(map(str, rounds))} {'round' if rounds == (1,) else 'rounds'}"


def number_of(number: float, one: str) -> str:
    """How many there are of something that takes a plural in s: “1 set”, “2.5 sets”, “1,200 sets”."""
    return f"{in_figures(number)} {one if number == 1 else one + 's'}"


def listed(words: Sequence[str]) -> str:
    """“the knee”, “the knee and the hip”, “a, b and c”: each word once, in the order given.

    Raises IndexError for no words.
    """
    once = list(dict.fromkeys(words))
    return " and ".join(filter(None, (", ".join(once[:-1]), once[-1])))


def upper_first(sentence: str) -> str:
    """The sentence with a capital first letter; the rest stays as it is."""
    return sentence[:1].upper() + sentence[1:]


_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def ordinal(number: int) -> str:
    """“first”, “second”; in figures from 11 to 20, “11th”."""
    return _ORDINALS[number - 1] if number <= len(_ORDINALS) else f"{number}th"
