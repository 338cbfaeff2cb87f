"""Sessions on the disk: one file for each, with its record and amendments, or the tombstone of an erased one.

So a save writes one small file however many there are, and damage to a file touches one session.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from engine.record.amendment import Amendment, amended
from engine.record.record import Record
from storage.files import disk
from storage.files.durable import Documents, DurableStorage, Said
from storage.files.leftovers import PREVIOUS, everything_of, leftovers_of
from storage.models import Tombstone
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of
from storage.rules import by_time, is_new
from storage.schema import Tables

FORMAT = "session-file"
RECORDS, AMENDMENTS, TOMBSTONES = "records", "amendments", "tombstones"
_PLAIN = re.compile(r"[0-9a-z][0-9a-z-]{4,63}")
"""Ids that are a file's name on every system. Windows keeps shorter ones, such as con, for itself."""

OpenFile = Callable[[Path, str], Documents]
"""Opens the documents of a file of a format."""


class Session(NamedTuple):
    """What a session's file holds; ``record`` is as it was saved."""

    record: Record | None
    amendments: tuple[Amendment, ...]
    stone: Tombstone | None

    @property
    def corrected(self) -> Record | None:
        return amended(self.record, self.amendments) if self.record else None


def name_of(record_id: str) -> str:
    """The name of a session's file without its suffix; an id may hold anything, a path for instance."""
    if _PLAIN.fullmatch(record_id):
        return record_id
    return "_" + hashlib.sha256(record_id.encode("utf-8", "surrogatepass")).hexdigest()[:40]


def tables_of(session: Session) -> Tables:
    record, amendments, stone = session
    return {
        RECORDS: {} if record is None else {record.id: record.model_dump(mode="json")},
        AMENDMENTS: {one.id: one.model_dump(mode="json") for one in amendments},
        TOMBSTONES: {} if stone is None else {stone.record_id: stone.model_dump(mode="json")},
    }


def _amendments(tables: Tables) -> tuple[Amendment, ...]:
    return by_time(Amendment.model_validate(one) for one in tables.get(AMENDMENTS, {}).values())


class SessionFiles:
    """The sessions in one folder."""

    def __init__(
        self, folder: Path, open_file: OpenFile, *, said: Said, may_write: Callable[[], bool]
    ) -> None:
        self.folder, self._open_file, self._said = folder, open_file, said
        self._may_write = may_write
        self._looked: tuple[int, dict[str, str]] | None = None

    def stamps(self) -> dict[str, str]:
        """The name of every session, with a stamp that is another once its file is another.

        A missing file with a generation before it has an empty stamp. The owner of the folder alone changes
        it, and looks again only after a change, until then the same object is returned; a name that came or
        went otherwise changes the folder's time.
        """
        with disk_faults_of(self.folder):
            try:
                at = self.folder.stat().st_mtime_ns
                if self._looked is None or self._looked[0] != at or not self._may_write():
                    self._looked = at, self._look()
            except FileNotFoundError:
                return {}
        return self._looked[1]

    def _look(self) -> dict[str, str]:
        stamps: dict[str, str] = {}
        with os.scandir(self.folder) as entries:
            for entry in entries:
                name, _, rest = entry.name.partition(".")
                if rest == "json":
                    stamps[name] = disk.stamp(entry.stat())
                elif name and rest == f"json{PREVIOUS}":
                    stamps.setdefault(name, "")
        return stamps

    def stamp(self, name: str) -> str:
        """The stamp of one session; empty where there is no file."""
        with disk_faults_of(self.folder):
            try:
                return disk.stamp(self._path(name).stat())
            except FileNotFoundError:
                return ""

    def exists(self, record_id: str) -> bool:
        return self._path(name_of(record_id)).exists()

    def session(self, record_id: str) -> Session:
        """What is held of a record. Raises StorageProblem where a newer version wrote it."""
        return self.named(name_of(record_id))

    def named(self, name: str) -> Session:
        tables = self.tables(name)
        records, stones = tables.get(RECORDS, {}).values(), tables.get(TOMBSTONES, {}).values()
        with self._understood(name):
            return Session(
                next((Record.model_validate(one) for one in records), None),
                _amendments(tables),
                next((Tombstone.model_validate(one) for one in stones), None),
            )

    def readable(self, name: str) -> Session | None:
        """As ``named``; what this version cannot read is said, and passed over."""
        with self._passing_over():
            return self.named(name)
        return None

    def tables_if_readable(self, name: str) -> Tables:
        """As ``tables``; what a newer version wrote is said, and passed over."""
        with self._passing_over():
            return self.tables(name)
        return {}

    def say_not_understood(self, name: str) -> None:
        where = self._path(name).name
        self._said(Trouble(where, str(StorageProblem(Cause.not_understood, where))))

    @contextmanager
    def _understood(self, name: str) -> Iterator[None]:
        try:
            yield
        except (ValueError, TypeError, LookupError):
            raise StorageProblem(Cause.not_understood, self._path(name).name) from None

    @contextmanager
    def _passing_over(self) -> Iterator[None]:
        try:
            yield
        except StorageProblem as problem:
            if problem.cause not in (Cause.newer, Cause.not_understood):
                raise
            self._said(Trouble(problem.where, str(problem)))

    def amendments(self, name: str) -> tuple[Amendment, ...]:
        """The amendments of a readable session alone, which takes less time than its record."""
        with self._passing_over(), self._understood(name):
            return _amendments(self.tables(name))
        return ()

    def tables(self, name: str) -> Tables:
        return self._documents(name).tables_read

    def add(self, record: Record) -> bool:
        """False when it was erased. Raises StorageProblem when a record with this id is there and differs."""
        held = self.session(record.id)
        if held.stone is not None:
            return False
        if is_new(held.record, record):
            self.put(name_of(record.id), held._replace(record=record))
        return True

    def amend(self, amendment: Amendment) -> None:
        held = self.session(amendment.record_id)
        if held.stone is not None:
            return
        if held.record is None:
            raise StorageProblem(Cause.no_such_record, amendment.record_id)
        saved = next((one for one in held.amendments if one.id == amendment.id), None)
        if is_new(saved, amendment):
            after = by_time((*held.amendments, amendment))
            self.put(name_of(amendment.record_id), held._replace(amendments=after))

    def erase(self, stone: Tombstone) -> None:
        """Puts a tombstone in the place of both generations of a session; what was set aside or left behind
        of it goes first."""
        name, self._looked = name_of(stone.record_id), None
        held = self.session(stone.record_id).stone
        with disk_faults_of(self._path(name)):
            disk.remove(*leftovers_of(self._path(name)))
        storage = self._documents(name).storage
        assert isinstance(storage, DurableStorage)
        storage.write_over(tables_of(Session(None, (), held or stone)))

    def remove(self, name: str) -> None:
        """Takes a session away without a trace."""
        path, self._looked = self._path(name), None
        with disk_faults_of(path):
            disk.remove(*everything_of(path))

    def put(self, name: str, session: Session) -> None:
        """Puts all of a session in the place of what was there, in one step."""
        self._looked = None
        self._documents(name).storage.write(tables_of(session))

    def _documents(self, name: str) -> Documents:
        return self._open_file(self._path(name), FORMAT)

    def _path(self, name: str) -> Path:
        return self.folder / f"{name}.json"
