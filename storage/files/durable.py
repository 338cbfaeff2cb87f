"""TinyDB over files that are replaced atomically, checked when read, and kept in two generations.

A file is JSON: ``format`` and ``version`` first, then the SHA-256 of what follows, then the tables. The first
line is the head and can be read alone.
"""

from __future__ import annotations

import hashlib
import json
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Document, Table

from engine.base.issue import Unreadable
from engine.base.reading import parse_json
from storage.files import disk
from storage.files.leftovers import previous_of
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of
from storage.schema import VERSION, Tables, migrate

LONGEST_HEAD_BYTES = 1_000
_TABLES, _END = b', "tables":', b"\n}\n"

Said = Callable[[Trouble], None]


class Damaged(Exception):
    """The content is not what was written."""


class Head(NamedTuple):
    version: int
    sha256: str


def encode(tables: Mapping[str, Any], format: str, *, sort_keys: bool = False) -> bytes:
    body = json.dumps(
        tables, ensure_ascii=False, separators=(",", ":"), allow_nan=False, sort_keys=sort_keys
    ).encode()
    head = {"format": format, "version": VERSION, "sha256": _checksum(format, VERSION, body)}
    return json.dumps(head).encode()[:-1] + _TABLES + b"\n" + body + _END


def _checksum(format: str, version: int, body: bytes) -> str:
    return hashlib.sha256(f"{format} {version}\n".encode() + body).hexdigest()


def decode(
    content: bytes, format: str, name: str, *, parse: Callable[[bytes], object] = json.loads
) -> Tables:
    """The tables of a file for this version. Raises Damaged, StorageProblem for a newer file, and what
    ``parse`` raises."""
    first, _, rest = content.partition(b"\n")
    head = _head(first, format)
    if head is None or head.version > VERSION:
        _refuse_newer(content, head, format, name)
        raise Damaged
    body = rest.removesuffix(_END)
    if body == rest or _checksum(format, head.version, body) != head.sha256:
        raise Damaged
    tables = parse(body)
    if b"\\u" in body:
        _refuse_half_characters(tables)
    if not isinstance(tables, dict) or not all(isinstance(table, dict) for table in tables.values()):
        raise Damaged
    try:
        return migrate(tables, format, head.version)
    except (LookupError, TypeError, AttributeError, ValueError):
        raise Damaged from None  # It holds what no version wrote.


def _refuse_half_characters(content: object) -> None:
    """An escape can stand for half a character, which no file can be written with."""
    try:
        json.dumps(content, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise Damaged from None


def _head(first: bytes, format: str) -> Head | None:
    if not first.endswith(_TABLES) or len(first) > LONGEST_HEAD_BYTES:
        return None
    try:
        found = json.loads(first.removesuffix(_TABLES) + b"}")
    except (ValueError, RecursionError):
        return None
    match found:
        case {"format": str(kind), "version": int(version), "sha256": str(checksum)} if kind == format:
            return Head(version, checksum)
    return None


def _refuse_newer(content: bytes, head: Head | None, format: str, name: str) -> None:
    """A newer version may lay its files out otherwise: any JSON of this format that says it is newer is."""
    version: object = head.version if head else None
    if head is None:
        try:
            found = parse_json(content, most_bytes=len(content))
        except (Unreadable, RecursionError):
            return
        if isinstance(found, dict) and found.get("format") == format:
            version = found.get("version")
    if isinstance(version, int) and version > VERSION:
        raise StorageProblem(Cause.newer, name, str(version))


class DurableStorage(Storage):
    """TinyDB's storage over one file. Lives for one operation: what it has read it takes for current.

    ``said`` is told when a damaged file was found. With ``may_repair`` False nothing on the disk is touched.
    """

    def __init__(
        self,
        path: Path,
        *,
        format: str,
        said: Said,
        may_repair: bool = True,
        pause: disk.Pause = time.sleep,
    ) -> None:
        self.path, self.format, self._said = path, format, said
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

    def write_over(self, data: Mapping[str, Any]) -> None:
        """Puts tables in the place of both generations: once they are there, nothing else is left."""
        self.read()
        self._tables = None
        with disk_faults_of(self.path):
            disk.remove(previous_of(self.path))
            content = encode(data, self.format)
            disk.replace_file(self.path, content, keep_previous=False, pause=self._pause)
            disk.replace_file(self.path, content, pause=self._pause)

    def _load(self) -> Tables:
        previous = previous_of(self.path)
        if not self.path.exists() and not previous.exists():
            return {}
        try:
            return self._decoded(self.path)
        except (FileNotFoundError, Damaged):
            return self._fall_back(previous)

    def _decoded(self, path: Path) -> Tables:
        return decode(path.read_bytes(), self.format, path.name)

    def _fall_back(self, previous: Path) -> Tables:
        try:
            tables = self._decoded(previous)
        except (FileNotFoundError, Damaged):
            self._set_aside(
                self.path,
                "and there is no sound copy of it from before: a backup or another device may still have it.",
            )
            self._set_aside(previous, None)
            return {}
        self._set_aside(self.path, "so the copy from before its last change is used.")
        if self._may_repair:
            disk.bring_back(self.path, pause=self._pause)
        return tables

    def _set_aside(self, path: Path, what_now: str | None) -> None:
        fault, kept = ("is damaged", "") if path.exists() else ("is missing", "")
        if self._may_repair and path.exists():
            aside = disk.set_aside(path, pause=self._pause)
            kept = f" The damaged file is kept as “{aside.name}”."
        if what_now:
            self._said(Trouble(path.name, f"“{path.name}” {fault}, {what_now}{kept}"))


class KeyedTable(Table):
    """A table whose keys are our own ids."""

    document_id_class = str  # type: ignore[assignment]


class Documents(TinyDB):
    """The documents of one file, by table and key."""

    table_class = KeyedTable

    @property
    def tables_read(self) -> Tables:
        return self.storage.read() or {}

    def held(self, table: str, key: str) -> Mapping[str, Any] | None:
        found = self.table(table).get(doc_id=key)  # type: ignore[call-overload]
        return found if isinstance(found, Document) else None

    def each(self, table: str) -> Iterator[Mapping[str, Any]]:
        return iter(self.table(table))

    def put(self, table: str, key: str, document: Mapping[str, Any]) -> None:
        """Adds a document or replaces the one with its key."""
        keyed = Document(document, doc_id=key)  # type: ignore[arg-type]
        if self.held(table, key) is None:
            self.table(table).insert(keyed)
        else:
            self.table(table).update(keyed, doc_ids=[key])  # type: ignore[list-item]
