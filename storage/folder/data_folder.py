"""What the parts of the store share: one data folder, the right to change it, and what was found damaged."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from engine.base.model import Model
from storage.files.durable import Documents, DurableStorage
from storage.problem import Cause, StorageProblem, Trouble

ONLY = "only"
"""Table and key of a file that holds one document."""

One = TypeVar("One", bound=Model)


class DataFolder:
    """One data folder. ``may_write`` is asked before each change; ``troubles`` are for the person to see."""

    def __init__(self, path: Path, *, may_write: Callable[[], bool]) -> None:
        self.path, self.may_write = path, may_write
        self.troubles: list[Trouble] = []

    def need_ownership(self) -> None:
        """Raises StorageProblem in a window that may only read."""
        if not self.may_write():
            raise StorageProblem(Cause.not_owner)

    def tell(self, trouble: Trouble) -> None:
        """Notes what was found damaged, once."""
        if trouble not in self.troubles:
            self.troubles.append(trouble)

    def documents(self, path: Path, format: str) -> Documents:
        """The documents of a file of this folder."""
        return Documents(
            path, storage=DurableStorage, format=format, said=self.tell, may_repair=self.may_write()
        )

    def file(self, name: str) -> Documents:
        """The documents of the file that keeps one concern, such as ``kit``."""
        return self.documents(self.path / f"{name}.json", f"{name}-file")

    def only(self, name: str, model: type[One]) -> One | None:
        """The document of a file that holds one."""
        with understood(name):
            held = self.file(name).held(ONLY, ONLY)
            return None if held is None else model.model_validate(held)

    def save_only(self, name: str, document: Model) -> None:
        self.need_ownership()
        self.file(name).put(ONLY, ONLY, document.model_dump(mode="json"))

    def each(self, name: str, model: type[One], *, table: str = "") -> list[One]:
        """Every document of a file that holds several, in ``table`` or the table of its own name."""
        with understood(name):
            return [model.model_validate(one) for one in self.file(name).each(table or name)]

    def remove(self, name: str, key: str) -> None:
        """Removes one document of several, whether it is there or not."""
        self.need_ownership()
        file = self.file(name)
        if file.held(name, key) is not None:
            file.table(name).remove(doc_ids=[key])  # type: ignore[list-item]


@contextmanager
def understood(name: str) -> Iterator[None]:
    """Raises StorageProblem where a document does not fit its model, or is none at all."""
    try:
        yield
    except (ValueError, TypeError):
        raise StorageProblem(Cause.not_understood, f"{name}.json") from None
