"""The running record on the disk: one JSON line for the opening, then one for each event.

A line is acknowledged once it is written with its line end and synced. A line without its end was torn by a
crash: nobody was told that it is there, so it is dropped when read and cut off before the next one.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import NamedTuple

from engine.live.events import EVENTS, Event, RunningRecord
from storage.files import disk
from storage.files.durable import Said
from storage.journal import Found, find
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of

RUNNING_NAME = "running.jsonl"


class _End(NamedTuple):
    """Where the last acknowledged line ends, and its event. Void once the file is another or longer."""

    inode: int
    size: int
    last: Event | None


class RunningFile:
    """One file; at most one session in progress."""

    def __init__(self, path: Path, *, said: Said) -> None:
        self.path, self._said = path, said
        self._end: _End | None = None

    def open(self, opening: RunningRecord) -> None:
        """Begins a running record. The file appears whole or not at all."""
        with disk_faults_of(self.path):
            disk.replace_file(self.path, _opening_line(opening), keep_previous=False)
        self._note_end(None)

    def read(self) -> RunningRecord | None:
        """The session in progress, with every acknowledged event. Changes nothing on the disk."""
        found = self._find()
        return found.record if found else None

    def append(self, event: Event) -> None:
        """Adds an event; returns when it is durable. The same event again changes nothing.

        Raises ValueError when the event's number does not follow, StorageProblem when it cannot be saved.
        """
        last = self._last_event()
        if event == last:
            return
        expected = last.seq + 1 if last else 1
        if event.seq != expected:
            raise ValueError(f"Event {event.seq} cannot be written: event {expected} is next.")
        with disk_faults_of(self.path):
            self._write(EVENTS.dump_json(event) + b"\n")
        self._note_end(event)

    def close(self) -> None:
        """Removes the running record: its session is over and saved."""
        self._end = None
        with disk_faults_of(self.path):
            if self.path.exists():
                disk.remove(self.path)

    def mend(self) -> None:
        """Cuts off what a crash tore; keeps a copy where more than the unfinished last line has to go."""
        content = self._content()
        if content is None:
            return
        found = find(content, self.path.name)
        with disk_faults_of(self.path):
            if found is None:
                aside = disk.set_aside(self.path)
                self._tell(f"“{self.path.name}” is damaged from its beginning; it is kept as “{aside.name}”.")
            else:
                self._settle(found, len(content))

    def _settle(self, found: Found, size: int) -> None:
        if found.damaged_after:
            aside = disk.copy_aside(self.path)
            events = len(found.record.events)
            self._tell(
                f"“{self.path.name}” is damaged after event {events}; the whole is kept as “{aside.name}”."
            )
        with self.path.open("rb+") as file:
            if found.sound_bytes < size:
                file.truncate(found.sound_bytes)
            disk.sync(file.fileno())  # What is found is counted as acknowledged from now on.

    def _tell(self, message: str) -> None:
        self._said(Trouble(self.path.name, message))

    def _content(self) -> bytes | None:
        with disk_faults_of(self.path):
            try:
                return self.path.read_bytes()
            except FileNotFoundError:
                return None

    def _find(self) -> Found | None:
        content = self._content()
        return None if content is None else find(content, self.path.name)

    def _last_event(self) -> Event | None:
        """The last acknowledged event; looks at the file again when it is not as it was left."""
        if self._end is None or self._end[:2] != self._stamp():
            self.mend()
            found = self._find()
            if found is None:
                raise StorageProblem(Cause.no_run)
            self._note_end(found.record.events[-1] if found.record.events else None)
        assert self._end is not None
        return self._end.last

    def _write(self, line: bytes) -> None:
        assert self._end is not None
        with self.path.open("rb+", buffering=0) as file:
            try:
                file.seek(self._end.size)
                _write_all(file.fileno(), line)
                disk.sync(file.fileno())
            except OSError:
                # It was not acknowledged, so it is not left to be found.
                file.truncate(self._end.size)
                raise

    def _stamp(self) -> tuple[int, int] | None:
        try:
            status = self.path.stat()
        except FileNotFoundError:
            return None
        return status.st_ino, status.st_size

    def _note_end(self, last: Event | None) -> None:
        stamp = self._stamp()
        self._end = _End(*stamp, last) if stamp else None


def _write_all(descriptor: int, line: bytes) -> None:
    while line:
        line = line[os.write(descriptor, line) :]


def _opening_line(opening: RunningRecord) -> bytes:
    return opening.model_dump_json(exclude={"events"}).encode() + b"\n"
