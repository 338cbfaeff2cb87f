"""The running record on the disk: one line for the opening, then one for each event.

A line is acknowledged once it is written with its line end and synced. A line without its end was torn by a
crash. Nobody was told that it was saved, so it is dropped when read and cut off before the next one.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from engine.base.message import Count, Message, message
from engine.live.events import EVENTS, Event, RunningRecord
from storage.files import disk
from storage.files.durable import Tell
from storage.journal import SoundPart, line_of, sound_part
from storage.problem import Cause, StorageProblem, Trouble, disk_faults_of, named
from storage.rules import is_next

RUNNING_NAME = "running.jsonl"


class _End(NamedTuple):
    """Where the last acknowledged line ends, and its event. Void once the file is replaced or longer."""

    inode: int
    size: int
    last: Event | None


class RunningFile:
    """One file, with at most one session in progress."""

    def __init__(self, path: Path, *, tell: Tell) -> None:
        self.path, self._tell = path, tell
        self._end: _End | None = None
        self._is_doubtful = False
        """Whether a sync failed: the next one may say nothing and save nothing of what was written before."""

    def open(self, opening: RunningRecord) -> None:
        """Begins a running record. The file appears in full or not at all."""
        self._end = None
        with disk_faults_of(self.path):
            disk.replace_file(self.path, _opening_line(opening), keep_previous=False)
        self._is_doubtful = False
        with suppress(StorageProblem):  # then the next event reads the file
            self._note_end(None)

    def read(self) -> RunningRecord | None:
        """The session in progress, with every acknowledged event. Changes nothing on the disk."""
        sound = self._sound_part()
        return sound.record if sound else None

    def append(self, event: Event) -> None:
        """Adds an event; returns once it is durable. The same event again changes nothing.

        Raises ValueError when the event's number does not follow, StorageProblem when it cannot be saved.
        """
        if not is_next(self._last_event(), event):
            return
        with disk_faults_of(self.path):
            self._add_line(line_of(EVENTS.dump_json(event)) + b"\n")
        with suppress(StorageProblem):  # it is written: the next event reads the file
            self._note_end(event)

    def close(self) -> None:
        """Removes the running record: its session is over and saved."""
        self._end = None
        with disk_faults_of(self.path):
            disk.remove(self.path)

    def mend(self) -> None:
        """Cuts off what a crash tore. Keeps a copy where more than an unfinished last line is cut off."""
        content = self._content()
        if content is None:
            return
        sound = sound_part(content, self.path.name)
        with disk_faults_of(self.path):
            if sound is None:
                aside = disk.set_aside(self.path)
                self._say(message("run_damaged"), aside)
            else:
                self._settle(sound, len(content))

    def _settle(self, sound: SoundPart, size: int) -> None:
        if sound.damaged_after:
            aside = disk.copy_aside(self.path)
            events = len(sound.record.events)
            self._say(message("run_damaged_after", step=Count(count=events)), aside)
        # What was found counts as acknowledged from now on.
        if self._is_doubtful:
            content = self.path.read_bytes()[: sound.size_bytes]
            disk.replace_file(self.path, content, keep_previous=False)
            self._is_doubtful = False
            return
        with self.path.open("rb+") as file:
            if sound.size_bytes < size:
                file.truncate(sound.size_bytes)
            self._sync(file.fileno())

    def _sync(self, descriptor: int) -> None:
        try:
            disk.sync(descriptor)
        except OSError:
            self._is_doubtful = True
            raise

    def _say(self, damaged: Message, aside: Path) -> None:
        kept = message("damaged_file_set_aside", aside=named(aside.name))
        self._tell(Trouble(self.path.name, (damaged, kept)))

    def _content(self) -> bytes | None:
        with disk_faults_of(self.path):
            try:
                return self.path.read_bytes()
            except FileNotFoundError:
                return None

    def _sound_part(self) -> SoundPart | None:
        content = self._content()
        return None if content is None else sound_part(content, self.path.name)

    def _last_event(self) -> Event | None:
        """The last acknowledged event. Reads the file again when it is not as this object left it."""
        if self._is_doubtful or self._end is None or self._end[:2] != self._stamp():
            self.mend()
            sound = self._sound_part()
            if sound is None:
                raise StorageProblem(Cause.no_run)
            self._note_end(sound.record.events[-1] if sound.record.events else None)
        if self._end is None:
            raise StorageProblem(Cause.no_run)
        return self._end.last

    def _add_line(self, line: bytes) -> None:
        """Adds a line after the last acknowledged one; where that fails, nothing of it stays."""
        assert self._end is not None
        with self.path.open("rb+", buffering=0) as file:
            try:
                file.seek(self._end.size)
                _write_all(file.fileno(), line)
                self._sync(file.fileno())
            except OSError:
                file.truncate(self._end.size)
                raise

    def _stamp(self) -> tuple[int, int] | None:
        with disk_faults_of(self.path):
            try:
                status = self.path.stat()
            except FileNotFoundError:
                return None
        return status.st_ino, status.st_size

    def _note_end(self, last: Event | None) -> None:
        self._end = None
        stamp = self._stamp()
        self._end = _End(*stamp, last) if stamp else None


def _write_all(descriptor: int, line: bytes) -> None:
    while line:
        line = line[os.write(descriptor, line) :]


def _opening_line(opening: RunningRecord) -> bytes:
    return line_of(opening.model_dump_json(exclude={"events"}).encode()) + b"\n"
