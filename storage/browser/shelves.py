"""What the browser's store asks of its database: documents on shelves, read and written in single steps.

A shelf keeps documents by key; those with an ``at`` can also be asked for by a span of it. Each step is one
transaction: answers given together are of one moment, and changes made together are kept all or not at all.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

SHELVES = (
    "profile",
    "kit",
    "settings",
    "today",
    "pain-notes",
    "plans",
    "drafts",
    "week-notes",
    "adjustments",
    "records",
    "amendments",
    "tombstones",
    "run",
    "device",
    "removed",
    "weeks",
    "counted",
    "aside",
    "trainees",
)


class Document(NamedTuple):
    """A text, such as the JSON of a model, under its key. By ``at``, a local date, it can be found too."""

    key: str
    text: str
    at: str = ""


class Ask(NamedTuple):
    """Asks for the document with a key, or for those whose ``at`` lies in a span, ends included, or for all.

    They come in order of key, or of ``at`` where a span is given. With ``only_keys`` they come without text.
    """

    shelf: str
    key: str | None = None
    span: tuple[str, str] | None = None
    only_keys: bool = False


class Put(NamedTuple):
    """Puts a document in place of the one with its key; a ``new`` one is refused where the key is taken."""

    shelf: str
    document: Document
    new: bool = False


class Remove(NamedTuple):
    """Removes the document with a key, or everything on a shelf where no key is given."""

    shelf: str
    key: str | None = None


class KeyTaken(Exception):
    """A new document has a key that is taken; nothing of the step was done."""


class Shelves(Protocol):
    """A database with these shelves."""

    async def read(self, *asked: Ask) -> list[list[Document]]:
        """Returns the answers in the order of the questions. Raises StorageProblem."""
        ...

    async def change(self, *changes: Put | Remove) -> None:
        """Returns once the changes are on the disk. Raises KeyTaken or StorageProblem."""
        ...

    def close(self) -> None: ...
