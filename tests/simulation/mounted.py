"""Simulated disks under the file calls of this process: everything below ``/simulated/NAME`` is on one.

Only those calls are answered here that the storage makes; another one meets the real system, where no such
folder is.
"""

from __future__ import annotations

import builtins
import errno
import fcntl
import io
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Self

import pytest
from simulation.disk import Node, SimulatedDisk

ROOT = "/simulated/"
_DISKS: dict[str, SimulatedDisk] = {}
_FIRST_NUMBER = 1_000_000
Place = tuple[SimulatedDisk, tuple[str, ...]]


def mount(name: str, disk: SimulatedDisk) -> str:
    """Puts a disk under a name; returns its path."""
    _DISKS[name] = disk
    return ROOT + name


def _place(path: Any) -> Place | None:
    text = os.fspath(path)
    if not isinstance(text, str) or not text.startswith(ROOT):
        return None
    name, *parts = [part for part in text[len(ROOT) :].split("/") if part]
    return _DISKS[name], tuple(parts)


class OpenFile:
    """An open file or folder of a simulated disk, unbuffered."""

    def __init__(self, disk: SimulatedDisk, node: Node, number: int, *, appends: bool = False) -> None:
        self.disk, self.node, self.number = disk, node, number
        self.at, self.appends = 0, appends

    def write(self, content: bytes) -> int:
        if self.appends:
            self.at = len(self.node.content)
        written = self.disk.write(self.node, self.at, bytes(content))
        self.at += written
        return written

    def read(self, size: int = -1) -> bytes:
        end = len(self.node.content) if size is None or size < 0 else self.at + size
        part = bytes(self.node.content[self.at : end])
        self.at += len(part)
        return part

    def readinto(self, into: Any) -> int:
        part = self.read(len(into))
        into[: len(part)] = part
        return len(part)

    def seek(self, at: int, whence: int = 0) -> int:
        self.at = at + (0, self.at, len(self.node.content))[whence]
        return self.at

    def truncate(self, size: int | None = None) -> int:
        size = self.at if size is None else size
        self.disk.cut(self.node, size)
        return size

    def flush(self) -> None:
        pass

    def fileno(self) -> int:
        return self.number

    def close(self) -> None:
        _OPEN.pop(self.number, None)
        if self.node.locked_by == self.number:
            self.node.locked_by = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


_OPEN: dict[int, OpenFile] = {}
_given = [_FIRST_NUMBER]


def close_all(disk: SimulatedDisk) -> None:
    """Closes what a process on this disk had open, because it is gone."""
    for one in [one for one in _OPEN.values() if one.disk is disk]:
        one.close()


def _opened(disk: SimulatedDisk, node: Node, *, appends: bool = False) -> OpenFile:
    _given[0] += 1
    file = _OPEN[_given[0]] = OpenFile(disk, node, _given[0], appends=appends)
    return file


def _file(place: Place, mode: str) -> OpenFile:
    disk, parts = place
    folder, name = disk.found(parts[:-1]), parts[-1]
    node = folder.names.get(name)
    writes = not mode.startswith("r") or "+" in mode
    disk.step(reading=not writes)
    if node is not None and node.is_folder:
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), name)
    if node is None:
        if mode.startswith("r"):
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), "/".join(parts))
        node = disk.new(is_folder=False)
        disk.name(folder, {name: node})
    elif mode.startswith("w"):
        node.content, node.dirty = bytearray(), True
        disk.touch(node)
    return _opened(disk, node, appends=mode.startswith("a"))


def _status(node: Node) -> os.stat_result:
    kind = stat.S_IFDIR | 0o700 if node.is_folder else stat.S_IFREG | 0o600
    seconds = node.at_ns // 1_000_000_000
    ten = (kind, node.number, 7, max(1, node.links), 0, 0, len(node.content), seconds, seconds, seconds)
    return os.stat_result(ten, {"st_mtime_ns": node.at_ns, "st_atime_ns": node.at_ns})


class _Entry:
    """What ``os.scandir`` tells of one name."""

    def __init__(self, name: str, path: str, node: Node) -> None:
        self.name, self.path, self._node = name, path, node

    def stat(self, *, follow_symlinks: bool = True) -> os.stat_result:
        return _status(self._node)

    def is_dir(self, *, follow_symlinks: bool = True) -> bool:
        return self._node.is_folder

    def is_file(self, *, follow_symlinks: bool = True) -> bool:
        return not self._node.is_folder

    def is_symlink(self) -> bool:
        return False


class _Entries:
    def __init__(self, entries: list[_Entry]) -> None:
        self._entries = iter(entries)

    def __iter__(self) -> Iterator[_Entry]:
        return self._entries

    def __next__(self) -> _Entry:
        return next(self._entries)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def close(self) -> None:
        pass


class Calls:
    """The calls of the system as simulated disks answer them; each gets what the real one would."""

    def open(self, place: Place, flags: int, mode: int = 0o777, **_: Any) -> int:
        disk, parts = place
        node = disk.find(parts)
        if node is not None and node.is_folder:
            return _opened(disk, node).number
        return _file(place, "ab" if flags & os.O_APPEND else "rb").number

    def stat(self, place: Place, **_: Any) -> os.stat_result:
        return _status(place[0].found(place[1]))

    lstat = stat

    def replace(self, place: Place, target: Any, **_: Any) -> None:
        (disk, parts), other = place, _place(target)
        assert other is not None
        folder, into = disk.found(parts[:-1]), other[1]
        node = disk.found(parts)
        disk.step()
        if folder.names.get(into[-1]) is node:
            return  # two names of one file: POSIX does nothing
        assert disk.found(into[:-1]) is folder
        disk.name(folder, {parts[-1]: None, into[-1]: node})

    rename = replace

    def link(self, place: Place, target: Any, **_: Any) -> None:
        (disk, parts), other = place, _place(target)
        assert other is not None
        node, folder = disk.found(parts), disk.found(other[1][:-1])
        disk.step()
        if other[1][-1] in folder.names:
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), other[1][-1])
        disk.name(folder, {other[1][-1]: node})

    def unlink(self, place: Place, **_: Any) -> None:
        disk, parts = place
        disk.found(parts)
        disk.step()
        disk.name(disk.found(parts[:-1]), {parts[-1]: None})

    def mkdir(self, place: Place, mode: int = 0o777, **_: Any) -> None:
        disk, parts = place
        folder = disk.found(parts[:-1])
        disk.step()
        if parts[-1] in folder.names:
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), parts[-1])
        disk.name(folder, {parts[-1]: disk.new(is_folder=True)})

    def listdir(self, place: Place) -> list[str]:
        return sorted(place[0].found(place[1]).names)

    def scandir(self, place: Place) -> _Entries:
        disk, parts = place
        path = "/".join(parts)
        names = sorted(disk.found(parts).names.items())
        return _Entries([_Entry(name, f"{path}/{name}", node) for name, node in names])

    def utime(self, place: Place, *_: Any, **__: Any) -> None:
        place[0].touch(place[0].found(place[1]))


def _of_number(name: str, really: Any) -> Any:
    """A call on the number of an open file."""

    def call(number: int, *given: Any) -> Any:
        file = _OPEN.get(number) if number >= _FIRST_NUMBER else None
        if file is None:
            return None if number >= _FIRST_NUMBER else really(number, *given)
        if name == "fsync":
            return file.disk.sync(file.node)
        if name == "write":
            return file.write(given[0])
        return file.close() if name == "close" else _status(file.node)

    return call


def _of_path(name: str, really: Any) -> Any:
    ours = getattr(Calls(), name)

    def call(path: Any = ".", *given: Any, **options: Any) -> Any:
        place = _place(path) if not isinstance(path, int) else None
        return really(path, *given, **options) if place is None else ours(place, *given, **options)

    return call


def _locked(really: Any) -> Any:
    """Locks of the system: one open file at a time holds the lock on a file."""

    def lock(number: int, how: int) -> Any:
        if number < _FIRST_NUMBER:
            return really(number, how)
        node = _OPEN[number].node
        if how & fcntl.LOCK_UN:
            node.locked_by = 0
        elif node.locked_by not in (0, number):
            raise BlockingIOError(errno.EWOULDBLOCK, os.strerror(errno.EWOULDBLOCK))
        else:
            node.locked_by = number
        return None

    return lock


def _opener(really: Any) -> Any:
    def opened(path: Any, mode: str = "r", *given: Any, **options: Any) -> Any:
        place = None if isinstance(path, int) else _place(path)
        if place is None:
            return really(path, mode, *given, **options)
        assert "b" in mode
        return _file(place, mode)

    return opened


@contextmanager
def mounted() -> Iterator[None]:
    """Answers the file calls below ``ROOT`` while it lasts."""
    numbers = ("close", "fsync", "write", "fstat")
    with pytest.MonkeyPatch.context() as patch:
        for name in (one for one in vars(Calls) if not one.startswith("_")):
            patch.setattr(os, name, _of_path(name, getattr(os, name)))
        for name in numbers:
            patch.setattr(os, name, _of_number(name, getattr(os, name)))
        patch.setattr(fcntl, "flock", _locked(fcntl.flock))
        for home in (io, builtins):
            patch.setattr(home, "open", _opener(home.open))
        try:
            yield
        finally:
            _DISKS.clear()
            _OPEN.clear()
            _given[0] = _FIRST_NUMBER
