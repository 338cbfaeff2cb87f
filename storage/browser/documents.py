"""What the parts of the browser's store share: models on shelves, and the right to change them."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from datetime import date
from typing import TypeVar

from pydantic import ValidationError

from engine.base.model import Model
from storage.browser.shelves import Ask, Document, KeyTaken, Put, Remove, Shelves
from storage.problem import Cause, StorageProblem, Trouble

ONLY = "only"
"""Key on a shelf that holds one document."""

One = TypeVar("One", bound=Model)
Change = Put | Remove


class ShelvedModels:
    """Models on the shelves of one database.

    ``may_write`` is asked before each change; ``on_refused`` hears of each change that the browser refused.
    A change that depends on what is read first holds the lock ``changing`` over both. ``troubles`` lists what
    was found damaged, to be shown.
    """

    def __init__(
        self,
        shelves: Shelves,
        *,
        may_write: Callable[[], bool],
        on_refused: Callable[[StorageProblem], None],
    ) -> None:
        self.shelves, self.may_write, self._on_refused = shelves, may_write, on_refused
        self.changing = asyncio.Lock()
        self.troubles: list[Trouble] = []

    async def one(self, shelf: str, model: type[One], key: str = ONLY) -> One | None:
        """The document of a shelf that holds one, or the one with a key."""
        (held,) = await self.shelves.read(Ask(shelf, key))
        return model_in(model, held[0]) if held else None

    async def all(self, shelf: str, model: type[One], *, span: tuple[str, str] | None = None) -> list[One]:
        """Every document of a shelf, or those whose ``at`` lies in a span."""
        (held,) = await self.shelves.read(Ask(shelf, span=span))
        return models_in(model, held)

    def need_ownership(self) -> None:
        """Raises StorageProblem in a window that may only read."""
        if not self.may_write():
            raise StorageProblem(Cause.not_owner)

    async def change(self, *changes: Change) -> None:
        """Makes all these changes in one step, or none of them. Raises StorageProblem."""
        self.need_ownership()
        try:
            await self.shelves.change(*changes)
        except KeyTaken as taken:
            raise StorageProblem(Cause.not_owner) from taken
        except StorageProblem as problem:
            self._on_refused(problem)
            raise


def model_in(model: type[One], document: Document) -> One:
    """Raises StorageProblem where the document is damaged."""
    try:
        return model.model_validate_json(document.text)
    except ValidationError as error:
        raise StorageProblem(Cause.damaged, document.key) from error


def models_in(model: type[One], documents: Iterable[Document]) -> list[One]:
    return [model_in(model, document) for document in documents]


def put(shelf: str, key: str, model: Model, *, at: date | None = None, new: bool = False) -> Put:
    """The change that puts a model on a shelf. ``at`` is the local date by which it can be found."""
    return Put(shelf, Document(key, model.model_dump_json(), at.isoformat() if at else ""), new)
