"""What the browser's store asks of its database: documents on shelves, read and written in single steps.

A shelf keeps documents by key; where ``at`` is given, they can be asked for by a span of it as well. Each
step is one transaction: what is asked for together is of one moment, and what is changed together is kept
whole or not at all.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

SHELVES = (
    "profile",
    "kit",
    "settings",
    "plans",
    "drafts",
    "week-notes",
    "adjustments",
    "records",
    "amendments",
    "tombstones",
    "run",
    "weeks",
    "counted",
    "aside",
)


class Document(NamedTuple):
    key: str
    text: str
    at: str = ""


class Ask(NamedTuple):
    """For the document with a key; else for those whose ``at`` lies in a span, both ends included; else for
    all. They come in order of key, or of ``at`` within a span."""

    shelf: str
    key: str | None = None
    span: tuple[str, str] | None = None


class Put(NamedTuple):
    """Puts a document in the place of the one with its key; ``new`` refuses where there is one."""

    shelf: str
    document: Document
    new: bool = False


class Remove(NamedTuple):
    """Takes a document away, or everything on a shelf where no key is given."""

    shelf: str
    key: str | None = None


class KeyTaken(Exception):
    """A document put as new has a key that is taken; nothing of the step was done."""


class Shelves(Protocol):
    async def read(self, *asked: Ask) -> list[list[Document]]:
        """The answers in the order of the questions. Raises StorageProblem."""
        ...

    async def change(self, *changes: Put | Remove) -> None:
        """Returns once the change is on the disk. Raises Taken, or StorageProblem."""
        ...
