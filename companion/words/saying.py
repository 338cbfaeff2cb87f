"""What is said in the window, or on the command line, that is being worked for.

Texts stand in the code in English, where they are shown: ``say("Start {length}", length=…)``. They are
translated when they are said, never when a module is imported. ``build/catalogues.py`` finds them by the
names of these functions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from companion.words.words import ENGLISH, Fills, Words
from engine.base.message import Message

_spoken: ContextVar[Words | None] = ContextVar("spoken", default=None)
of_window: list[Callable[[], Words | None]] = []
"""Who knows the words of the window that is being worked for. The application adds itself."""


def words_here() -> Words:
    """The words that were chosen, else those of the window, else English."""
    found = (find() for find in of_window)
    return _spoken.get() or next(filter(None, found), ENGLISH)


@contextmanager
def speaking(words: Words) -> Iterator[None]:
    token = _spoken.set(words)
    try:
        yield
    finally:
        _spoken.reset(token)


def say(text: str, /, **fills: Fills) -> str:
    """A text of the application, with its blanks filled: ``say("done by {clock}", clock=…)``."""
    return words_here().text(text, **fills)


def msgid(text: str) -> str:
    """Marks a text that is kept under a name or in a table, to be said later: ``say(NAME)``."""
    return text


def several(one: str, other: str, /, count: float, **fills: Fills) -> str:
    """A text that counts: ``several("{count} set", "{count} sets", count)``."""
    return words_here().several(one, other, count, **fills)


def own(text: str) -> str:
    """A text of the library or of a sample in this language; a coach's own words as they were written."""
    return words_here().own(text)


def said(message: Message) -> str:
    """The sentence of a message of the engine."""
    return words_here().say(message)


def all_said(messages: Iterable[Message]) -> str:
    """The sentences of several messages, one after the other."""
    return words_here().sentences(messages)
