"""What the parts of the store share: one data folder, the right to change it, and what was found damaged."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from engine.base.model import Model
from storage.files import disk
from storage.files.durable import Documents, DurableStorage
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of

ONLY = "only"
"""Table and key of a file that holds one document."""

REMOVED = "removed"
"""File and table of the revisions that were removed here."""

One = TypeVar("One", bound=Model)


class DataFolder:
    """One data folder.

    ``may_write`` is asked before each change. ``troubles`` lists what was found damaged, to be shown.
    """

    def __init__(self, path: Path, *, may_write: Callable[[], bool]) -> None:
        self.path, self.may_write = path, may_write
        self.troubles: list[Trouble] = []

    def need_ownership(self) -> None:
        """Comes before each change. Raises StorageProblem in a window that may only read.

        What an earlier change left to be synced is made good, because this one may find it as it should be.
        """
        if not self.may_write():
            raise StorageProblem(Cause.not_owner)
        with disk_faults_of(self.path):
            disk.make_good(self.path)

    def tell(self, trouble: Trouble) -> None:
        """Notes what was found damaged, once."""
        if trouble not in self.troubles:
            self.troubles.append(trouble)

    def documents(self, path: Path, format: str) -> Documents:
        """The documents of a file of this folder."""
        may_repair = self.may_write()
        return Documents(path, storage=DurableStorage, format=format, tell=self.tell, may_repair=may_repair)

    def file(self, name: str) -> Documents:
        """The documents of the file that keeps one concern, such as ``kit``."""
        return self.documents(self.path / f"{name}.json", f"{name}-file")

    def only(self, name: str, model: type[One]) -> One | None:
        """The document of a file that holds one."""
        return self.one(name, model, ONLY, table=ONLY)

    def save_only(self, name: str, document: Model) -> None:
        """Saves the document of a file that holds one."""
        self.put(name, ONLY, document, table=ONLY)

    def each(self, name: str, model: type[One], *, table: str = "") -> list[One]:
        """Every document of a file that holds several, from ``table`` or the table with the file's name."""
        with understood(name):
            return [model.model_validate(one) for one in self.file(name).each(table or name)]

    def one(self, name: str, model: type[One], key: str, *, table: str = "") -> One | None:
        """The document with a key, from a file that holds several."""
        with understood(name):
            found = self.file(name).one(table or name, key)
            return None if found is None else model.model_validate(found)

    def put(self, name: str, key: str, document: Model, *, table: str = "") -> None:
        """Adds a document or replaces the one with its key."""
        self.need_ownership()
        self.file(name).put(table or name, key, document.model_dump(mode="json"))

    def put_all(self, name: str, documents: Mapping[str, Model]) -> None:
        """Adds documents, or replaces those with their keys, in one step."""
        self.need_ownership()
        file = self.file(name)
        fresh = {key: one.model_dump(mode="json") for key, one in documents.items()}
        held = file.tables_read
        file.storage.write({**held, name: {**held.get(name, {}), **fresh}})

    def remove(self, name: str, key: str) -> None:
        """Removes a document, whether it is there or not."""
        self.need_ownership()
        file = self.file(name)
        if file.one(name, key) is not None:
            file.table(name).remove(doc_ids=[key])  # type: ignore[list-item]

    def removed(self) -> frozenset[str]:
        """The revisions of plans and adjustments that were removed here, which no merge brings back."""
        return frozenset(self.file(REMOVED).tables_read.get(REMOVED, {}))

    def note_removed(self, revision: str) -> None:
        """Notes a revision that is about to be removed."""
        self.need_ownership()
        self.file(REMOVED).put(REMOVED, revision, {})

    def take_back(self, revision: str) -> None:
        """Forgets that a revision was removed, because it is saved again."""
        if revision in self.removed():
            self.remove(REMOVED, revision)

    def erase_one(self, name: str, key: str) -> None:
        """Removes a document from both generations of a file, whether it is there or not."""
        self.need_ownership()
        file = self.file(name)
        if file.one(name, key) is not None:
            rest = {other: one for other, one in file.tables_read.get(name, {}).items() if other != key}
            storage = self.file(name).storage
            assert isinstance(storage, DurableStorage)
            storage.replace_both({name: rest})

    def replace(self, name: str, documents: Mapping[str, Model], *, table: str = "") -> None:
        """Saves these documents by their keys in place of all that the file holds."""
        self.need_ownership()
        tables = {table or name: {key: one.model_dump(mode="json") for key, one in documents.items()}}
        self.file(name).storage.write(tables)


@contextmanager
def understood(name: str) -> Iterator[None]:
    """Raises StorageProblem where a document does not fit its model, or is none at all."""
    try:
        yield
    except (ValueError, TypeError):
        raise StorageProblem(Cause.not_understood, f"{name}.json") from None
