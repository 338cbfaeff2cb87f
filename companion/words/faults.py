"""Turns a fault of a document, and the place where it is, into words."""

from __future__ import annotations

from companion.words.places import NUMBERED, PLACES
from companion.words.saying import said, say
from engine.base.issue import Issue, Place, short
from engine.base.message import Message
from engine.base.printable import printable_line


def why(refused: Exception) -> str:
    """Why something was refused."""
    what = getattr(refused, "what", None)
    return said(what) if isinstance(what, Message) else str(refused)


def fault_words(issue: Issue) -> str:
    """“Block 3 › Movement 1 › Tempo: Write a tempo as …”, on one line and printable."""
    what = printable_line(said(issue.what))
    return say("{place}: {fault}", place=place_words(issue.where), fault=what) if issue.where else what


def place_words(where: Place) -> str:
    """A place in a document as a person counts: “Block 3 › Movement 1 › Tempo”; empty for the document.

    What has no words here, such as a misspelt name, stands as it is written.
    """
    parts: list[str] = []
    for before, part in zip((None, *where), where, strict=False):
        if isinstance(part, str):
            parts.append(say(PLACES[part]) if part in PLACES else short(part))
        elif isinstance(before, str) and before in NUMBERED:
            parts[-1] = say(NUMBERED[before], number=part + 1)
        else:
            parts[-1:] = [f"{parts[-1]} {part + 1}" if parts else str(part + 1)]
    return " › ".join(parts)
