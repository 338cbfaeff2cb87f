"""Sessions on the disk: one file for each, with its record and amendments, or the tombstone of an erased one.

So a save writes one small file, however many there are, and damage to a file affects one session.
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
from storage.files.durable import Documents, DurableStorage, Tell
from storage.files.leftovers import PREVIOUS, everything_of, leftovers_of
from storage.files.there import is_there
from storage.models import Tombstone
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of
from storage.rules import by_time, is_new
from storage.schema import Tables

FORMAT = "session-file"
RECORDS, AMENDMENTS, TOMBSTONES = "records", "amendments", "tombstones"
_PLAIN = re.compile(r"[0-9a-z][0-9a-z-]{4,63}")
"""Ids that can name a file on every system. Windows reserves some shorter names, such as con."""
_HASHED = re.compile(r"_[0-9a-f]{40}")

OpenFile = Callable[[Path, str], Documents]
"""Opens the documents of the file at a path, by its format."""


class Session(NamedTuple):
    """What a session's file holds. ``record`` is as it was saved, without its amendments."""

    record: Record | None
    amendments: tuple[Amendment, ...]
    stone: Tombstone | None

    @property
    def corrected(self) -> Record | None:
        return amended(self.record, self.amendments) if self.record else None


def name_of(record_id: str) -> str:
    """The name of a session's file, without its suffix. An id may hold anything, even a path."""
    if _PLAIN.fullmatch(record_id):
        return record_id
    return "_" + hashlib.sha256(record_id.encode("utf-8", "surrogatepass")).hexdigest()[:40]


def is_a_name(name: str) -> bool:
    """Whether a session's file can have this name, without its suffix."""
    return _PLAIN.fullmatch(name) is not None or _HASHED.fullmatch(name) is not None


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
    """The files of all sessions, in one folder. A name is that of a file without its suffix."""

    def __init__(
        self, folder: Path, open_file: OpenFile, *, tell: Tell, may_write: Callable[[], bool]
    ) -> None:
        self.folder, self._open_file, self._tell = folder, open_file, tell
        self._may_write = may_write
        self._listed: tuple[int, dict[str, str]] | None = None
        self._refused: set[str] = set()
        """The ids of records whose saving was refused, though their files may be there."""

    def stamps(self) -> dict[str, str]:
        """The name of every session, with a stamp that changes when its file does.

        A missing file with a previous generation has an empty stamp. Only the owner of the folder changes it.
        The owner gets the same object until the next change; a file added or removed by others counts as one,
        because it changes the folder's time.
        """
        with disk_faults_of(self.folder):
            try:
                at = self.folder.stat().st_mtime_ns
                if self._listed is None or self._listed[0] != at or not self._may_write():
                    self._listed = at, self._list()
            except FileNotFoundError:
                return {}
        return self._listed[1]

    def _list(self) -> dict[str, str]:
        stamps: dict[str, str] = {}
        with os.scandir(self.folder) as entries:
            for entry in entries:
                name, _, rest = entry.name.partition(".")
                if not is_a_name(name):
                    continue
                if rest == "json":
                    stamps[name] = disk.stamp(entry.stat())
                elif rest == f"json{PREVIOUS}":
                    stamps.setdefault(name, "")
        return stamps

    def stamp(self, name: str) -> str:
        """The stamp of one session; empty where its file is missing."""
        with disk_faults_of(self.folder):
            try:
                return disk.stamp(self.path(name).stat())
            except FileNotFoundError:
                return ""

    def exists(self, record_id: str) -> bool:
        path = self.path(name_of(record_id))
        with disk_faults_of(path):
            return is_there(path)

    def session(self, record_id: str) -> Session:
        """The session of a record. Raises StorageProblem where a newer version wrote it."""
        return self.named(name_of(record_id))

    def named(self, name: str) -> Session:
        """The session in the file of that name. Raises StorageProblem where this version cannot read it."""
        tables = self.tables(name)
        records, stones = tables.get(RECORDS, {}).values(), tables.get(TOMBSTONES, {}).values()
        with self._understood(name):
            return Session(
                next((Record.model_validate(one) for one in records), None),
                _amendments(tables),
                next((Tombstone.model_validate(one) for one in stones), None),
            )

    def readable(self, name: str) -> Session | None:
        """Like ``named``, but tells what this version cannot read and returns None for it."""
        with self._telling_unreadable():
            return self.named(name)
        return None

    def tables_if_readable(self, name: str) -> Tables:
        """Like ``tables``, but tells what a newer version wrote and returns nothing of it."""
        with self._telling_unreadable():
            return self.tables(name)
        return {}

    def tell_not_understood(self, name: str) -> None:
        """Tells that this version cannot read the file of that name."""
        where = self.path(name).name
        self._tell(Trouble(where, (StorageProblem(Cause.not_understood, where).what,)))

    @contextmanager
    def _understood(self, name: str) -> Iterator[None]:
        try:
            yield
        except (ValueError, TypeError, LookupError):
            raise StorageProblem(Cause.not_understood, self.path(name).name) from None

    @contextmanager
    def _telling_unreadable(self) -> Iterator[None]:
        try:
            yield
        except StorageProblem as problem:
            if problem.cause not in (Cause.newer, Cause.not_understood):
                raise
            self._tell(Trouble(problem.where, (problem.what,)))

    def amendments(self, name: str) -> tuple[Amendment, ...]:
        """The amendments of a readable session, without the time that reading its record takes."""
        with self._telling_unreadable(), self._understood(name):
            return _amendments(self.tables(name))
        return ()

    def tables(self, name: str) -> Tables:
        return self._documents(name).tables_read

    def add(self, record: Record) -> bool:
        """Adds a record; False when it was erased. Raises StorageProblem when its id has another record.

        One whose saving was refused counts as no record: the next takes its place.
        """
        held = self.session(record.id)
        if held.stone is not None:
            return False
        if is_new(None if record.id in self._refused else held.record, record):
            self._refused.add(record.id)
            self.put(name_of(record.id), held._replace(record=record))
            self._refused.discard(record.id)
        return True

    def amend(self, amendment: Amendment) -> None:
        """Adds an amendment to its record, unless that was erased. Raises StorageProblem without a record."""
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
        """Puts a tombstone in place of both generations of a session, after removing its leftovers."""
        name, self._listed = name_of(stone.record_id), None
        held = self.session(stone.record_id).stone
        with disk_faults_of(self.path(name)):
            disk.remove(*leftovers_of(self.path(name)))
        storage = self._documents(name).storage
        assert isinstance(storage, DurableStorage)
        storage.replace_both(tables_of(Session(None, (), held or stone)))

    def remove(self, name: str) -> None:
        """Removes a session without a trace."""
        path, self._listed = self.path(name), None
        with disk_faults_of(path):
            disk.remove(*everything_of(path))

    def put(self, name: str, session: Session) -> None:
        """Replaces all of a session in one step."""
        self._listed = None
        self._documents(name).storage.write(tables_of(session))

    def _documents(self, name: str) -> Documents:
        return self._open_file(self.path(name), FORMAT)

    def path(self, name: str) -> Path:
        return self.folder / f"{name}.json"
