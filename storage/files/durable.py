"""TinyDB over files that are replaced atomically, checked when read, and kept in two generations."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Document, Table

from engine.base.message import Message, message
from storage.files import disk
from storage.files.layout import Damaged, decode, encode, is_of_another_program
from storage.files.leftovers import previous_of
from storage.files.there import is_there
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of, named
from storage.schema import Tables

Tell = Callable[[Trouble], None]


class DurableStorage(Storage):
    """TinyDB's storage over one file. It lives for one operation: it never re-reads.

    ``tell`` hears of a damaged file. With ``may_repair`` False nothing on the disk is changed.
    """

    def __init__(
        self,
        path: Path,
        *,
        format: str,
        tell: Tell,
        may_repair: bool = True,
        pause: disk.Pause = time.sleep,
    ) -> None:
        self.path, self.format, self._tell = path, format, tell
        self._may_repair, self._pause = may_repair, pause
        self._tables: Tables | None = None

    def read(self) -> Tables | None:
        if self._tables is None:
            with disk_faults_of(self.path):
                self._tables = self._load()
        return self._tables or None

    def write(self, data: Mapping[str, Any]) -> None:
        self.read()  # A damaged file is set aside first; it must not become the previous generation.
        self._tables = None
        with disk_faults_of(self.path):
            disk.replace_file(self.path, encode(data, self.format), pause=self._pause)

    def replace_both(self, data: Mapping[str, Any]) -> None:
        """Puts tables in place of both generations, so that nothing of what the file held is left."""
        self.read()
        self._tables = None
        with disk_faults_of(self.path):
            disk.remove(previous_of(self.path))
            content = encode(data, self.format)
            disk.replace_file(self.path, content, keep_previous=False, pause=self._pause)
            disk.replace_file(self.path, content, pause=self._pause)

    def _load(self) -> Tables:
        previous = previous_of(self.path)
        if not is_there(self.path) and not is_there(previous):
            return {}
        try:
            return self._decoded(self.path)
        except (FileNotFoundError, Damaged):
            self._leave_what_is_not_ours()
            return self._fall_back(previous)

    def _leave_what_is_not_ours(self) -> None:
        """Raises StorageProblem where another program keeps something under this name."""
        if is_there(self.path) and is_of_another_program(self.path.read_bytes()):
            raise StorageProblem(Cause.not_understood, self.path.name)

    def _decoded(self, path: Path) -> Tables:
        return decode(path.read_bytes(), self.format, path.name)

    def _fall_back(self, previous: Path) -> Tables:
        """The previous generation, made the current one again; empty where it is damaged too."""
        try:
            tables = self._decoded(previous)
        except (FileNotFoundError, Damaged):
            file = named(self.path.name)
            self._set_aside(self.path, message("file_damaged", file=file), message("file_missing", file=file))
            self._set_aside(previous)
            return {}
        file = named(self.path.name)
        self._set_aside(
            self.path,
            message("file_damaged_before_used", file=file),
            message("file_missing_before_used", file=file),
        )
        if self._may_repair:
            disk.bring_back(self.path, pause=self._pause)
        return tables

    def _set_aside(self, path: Path, damaged: Message | None = None, missing: Message | None = None) -> None:
        """Sets a damaged file aside, and tells what is wrong with it where that is to be told."""
        fault, kept = (damaged if is_there(path) else missing), list[Message]()
        if self._may_repair and is_there(path):
            aside = disk.set_aside(path, pause=self._pause)
            kept.append(message("damaged_file_set_aside", aside=named(aside.name)))
        if fault:
            self._tell(Trouble(path.name, (fault, *kept)))


class KeyedTable(Table):
    """A table whose keys are our own ids."""

    document_id_class = str  # type: ignore[assignment]


class Documents(TinyDB):
    """The documents of one file, by table and key."""

    table_class = KeyedTable

    @property
    def tables_read(self) -> Tables:
        """All tables at once; not to be changed."""
        return self.storage.read() or {}

    def one(self, table: str, key: str) -> Mapping[str, Any] | None:
        """The document with a key; None where there is none."""
        found = self.table(table).get(doc_id=key)  # type: ignore[call-overload]
        return found if isinstance(found, Document) else None

    def each(self, table: str) -> Iterator[Mapping[str, Any]]:
        return iter(self.table(table))

    def put(self, table: str, key: str, document: Mapping[str, Any]) -> None:
        """Adds a document or replaces the one with its key."""
        keyed = Document(document, doc_id=key)  # type: ignore[arg-type]
        if self.one(table, key) is None:
            self.table(table).insert(keyed)
        else:
            self.table(table).update(keyed, doc_ids=[key])  # type: ignore[list-item]
