"""A disk under all that storage does in one folder: it refuses, or dies, at chosen steps.

Every call of the operating system is a step, reading included. After a death the folder holds what such a
disk may hold: what was synced, and of the rest whatever a draw leaves of it. A name that was made, renamed or
removed since its folder was synced may be lost, whatever came after it. Of a file that was written since its
last sync each sector is the old one or the new one, or zeros past the old end. A sync that failed has lost
what it was to save, although the next one says nothing (Rebello 2020, USENIX ATC, “Can applications recover
from fsync failures?”).
"""

from __future__ import annotations

import builtins
import errno
import io
import os
import random
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, NamedTuple, Self

import pytest

READS = ("stat", "scandir", "listdir")
NAMES = ("replace", "link", "unlink", "mkdir")
SPACE = (errno.ENOSPC, errno.EDQUOT, errno.EROFS)
"""What only a change of the disk can meet."""
SECTOR_BYTES, PAGE_BYTES = 512, 4096
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT


class Death(BaseException):
    """The process has died."""


Fails = Callable[[int], int | None]
"""With which error a step fails; None where it does not."""


def failing_at(step: int, code: int, *, times: int = 1) -> Fails:
    """One step fails, or several in a row."""
    return lambda now: code if step <= now < step + times else None


def failing_from(step: int, code: int) -> Fails:
    """From a step on every one fails."""
    return lambda now: code if now >= step else None


class _File:
    """A file by its content: as it was synced, as it is now, and which pages the next sync would save."""

    def __init__(self, kept: bytes = b"") -> None:
        self.kept = self.now = kept
        self.dirty: set[int] = set()

    def change(self, content: bytes) -> None:
        size = max(len(content), len(self.now))
        pages = range(0, size, PAGE_BYTES)
        self.dirty |= {at for at in pages if _page(content, at) != _page(self.now, at)}
        self.now = content

    def sync(self) -> None:
        self.kept = _overlaid(self.kept, self.now, self.dirty, len(self.now), PAGE_BYTES)
        self.dirty.clear()

    def after_death(self, draw: random.Random) -> bytes:
        if not self.dirty:
            return self.kept
        sectors = {
            sector: draw.choice((self.kept, self.now, self.kept if sector < len(self.kept) else b""))
            for page in self.dirty
            for sector in range(page, page + PAGE_BYTES, SECTOR_BYTES)
        }
        sizes = sorted((len(self.kept), len(self.now)))
        size = draw.choice((*sizes, draw.randint(*sizes)))
        torn = bytearray(self.kept.ljust(size, b"\0")[:size])
        for sector, source in sectors.items():
            if sector < size:
                piece = source[sector : sector + SECTOR_BYTES].ljust(SECTOR_BYTES, b"\0")
                torn[sector : sector + SECTOR_BYTES] = piece[: size - sector]
        return bytes(torn)


def _page(content: bytes, at: int) -> bytes:
    return content[at : at + PAGE_BYTES]


def _overlaid(below: bytes, above: bytes, places: set[int], size: int, length: int) -> bytes:
    result = bytearray(below.ljust(size, b"\0")[:size])
    for at in places:
        result[at : at + length] = above[at : min(at + length, size)]
    return bytes(result[:size])


class _Change(NamedTuple):
    """A change of a folder's names; a rename is one, a folder is a name without a file."""

    gone: Path | None
    come: Path | None
    file: _File | None


class Disk:
    """The disk of one folder.

    ``fails`` says with which error a step fails, ``dies_at`` which step is the last. ``moment`` says when in
    that step it dies: before it, half-way through a write, or after it. With ``only_changes`` reading is no
    step, and never fails.
    """

    def __init__(
        self,
        folder: Path,
        *,
        fails: Fails = lambda _: None,
        dies_at: int = 0,
        moment: str = "before",
        only_changes: bool = False,
        seed: int = 0,
    ) -> None:
        self._only_changes = only_changes
        self.folder, self.steps, self.failed = folder, 0, 0
        self._fails, self._dies_at, self._moment = fails, dies_at, moment
        self._draw, self._is_dead = random.Random(seed), False
        self._opened: dict[int, Path] = {}
        self._now: dict[Path, _File | None] = {}
        self._waiting: list[_Change] = []
        for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
            self._now[path] = _File(path.read_bytes()) if path.is_file() else None
        self._kept = dict(self._now)

    @contextmanager
    def in_use(self) -> Iterator[Self]:
        """Puts this disk under the folder; after a death the folder holds what is left."""
        real = {name: getattr(os, name) for name in (*READS, *NAMES, "open", "fsync", "write", "ftruncate")}
        self._real = real
        with pytest.MonkeyPatch.context() as patch:
            for name in (*READS, *NAMES):
                patch.setattr(os, name, self._named(name))
            for name in ("fsync", "write", "ftruncate"):
                patch.setattr(os, name, self._on_descriptor(name))
            patch.setattr(os, "open", self._open)
            for home in (io, builtins):
                patch.setattr(home, "open", self._opening(home.open))
            with suppress(Death):
                yield self
        if self._is_dead:
            self._leave_what_is_left()

    def die(self) -> None:
        """Pulls the battery: from now on nothing happens any more."""
        self._is_dead = True

    def mend(self) -> None:
        """From now on no step fails."""
        self._fails = lambda _: None

    # The steps

    def _is_here(self, path: Any) -> bool:
        if not isinstance(path, str | os.PathLike):
            return False
        path = Path(os.fspath(path))
        return path == self.folder or self.folder in path.parents

    def _step(
        self,
        really: Callable[[], Any],
        *,
        changes: bool,
        half: Callable[[], Any] = lambda: None,
        failing: Callable[[], Any] = lambda: None,
    ) -> Any:
        if self._is_dead:
            raise Death
        if self._only_changes and not changes:
            return really()
        self.steps += 1
        code = self._fails(self.steps)
        if code is not None and (changes or code not in SPACE):
            self.failed += 1
            half()
            failing()
            raise OSError(code, os.strerror(code))
        if self.steps != self._dies_at:
            return really()
        if self._moment == "after":
            really()
        elif self._moment == "half-way":
            half()
        self._is_dead = True
        raise Death

    def _named(self, name: str) -> Any:
        really = self._real[name]

        def call(*given: Any, **options: Any) -> Any:
            if not given or not self._is_here(given[0]):
                return really(*given, **options)
            places = [Path(one) for one in given[:2] if isinstance(one, str | os.PathLike)]

            def do() -> Any:
                result = really(*given, **options)
                if name in NAMES:
                    self._note(name, *places)
                return result

            return self._step(do, changes=name in NAMES)

        return call

    def _note(self, name: str, path: Path, other: Path | None = None) -> None:
        file = self._now.get(path)
        if name == "mkdir":
            self._change(_Change(None, path, None))
        elif name == "unlink":
            self._change(_Change(path, None, None))
        elif name == "link":
            self._change(_Change(None, other, file))
        elif file is not self._now.get(other or path):  # POSIX: of one file, a rename does nothing
            self._change(_Change(path, other, file))

    def _change(self, change: _Change) -> None:
        _apply(change, self._now)
        self._waiting.append(change)

    def _open(self, path: Any, flags: int, *given: Any, **options: Any) -> int:
        really = self._real["open"]
        if not self._is_here(path):
            return int(really(path, flags, *given, **options))

        def do() -> int:
            descriptor = int(really(path, flags, *given, **options))
            place = Path(path)
            self._opened[descriptor] = place
            if flags & os.O_CREAT and place not in self._now:
                self._change(_Change(None, place, _File()))
            held = self._now.get(place)
            if flags & os.O_TRUNC and held is not None:
                held.change(b"")
            return descriptor

        return int(self._step(do, changes=bool(flags & WRITES)))

    def _on_descriptor(self, name: str) -> Any:
        really = self._real[name]

        def call(descriptor: int, *given: Any) -> Any:
            place = self._opened.get(descriptor)
            if place is None or not self._is_descriptor_of(descriptor, place):
                return really(descriptor, *given)

            def do(*instead: Any) -> Any:
                result = really(descriptor, *(instead or given))
                self._written(name, place)
                return result

            def half() -> None:
                if name == "write":
                    do(given[0][: len(given[0]) // 2])

            def failing() -> None:
                held = self._now.get(place)
                if name == "fsync" and held is not None:
                    held.dirty.clear()

            return self._step(do, changes=True, half=half, failing=failing)

        return call

    def _is_descriptor_of(self, descriptor: int, place: Path) -> bool:
        """Whether a descriptor is still that of a file here: a closed one's number is given again."""
        try:
            real, found = self._real["stat"](place), os.fstat(descriptor)
        except OSError:
            return False
        return (real.st_dev, real.st_ino) == (found.st_dev, found.st_ino)

    def _written(self, name: str, place: Path) -> None:
        held = self._now.get(place)
        if name != "fsync":
            assert held is not None
            held.change(_content(self._real, place))
        elif held is not None:
            held.sync()
        else:
            self._sync_names(place)

    def _sync_names(self, folder: Path) -> None:
        for change in [one for one in self._waiting if _home(one) == folder]:
            _apply(change, self._kept)
            self._waiting.remove(change)

    def _opening(self, really: Any) -> Any:
        def opened(path: Any, mode: str = "r", *given: Any, **options: Any) -> Any:
            if not self._is_here(path):
                return really(path, mode, *given, **options)
            opener = options.pop("opener", None) or os.open
            if "r" in mode and "+" not in mode:
                return really(path, mode, *given, opener=opener, **options)
            return _Written(really(path, mode, 0, opener=opener))

        return opened

    # What is left

    def _leave_what_is_left(self) -> None:
        """Puts what the disk may hold now in place of the folder's content."""
        way = self._draw.choice(("none", "all", "first", "any"))
        chosen = {
            "none": [],
            "all": self._waiting,
            "first": self._waiting[: self._draw.randint(0, len(self._waiting))],
            "any": [one for one in self._waiting if self._draw.random() < 0.5],
        }[way]
        for change in chosen:
            _apply(change, self._kept)
        contents = {id(one): one.after_death(self._draw) for one in self._kept.values() if one is not None}
        for path in self.folder.iterdir() if self.folder.is_dir() else ():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        for path, file in sorted(self._kept.items()):
            if file is None:
                path.mkdir(parents=True, exist_ok=True)
            elif path.parent == self.folder or path.parent in self._kept:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(contents[id(file)])


def _home(change: _Change) -> Path:
    path = change.come or change.gone
    assert path is not None
    return path.parent


def _apply(change: _Change, names: dict[Path, _File | None]) -> None:
    if change.gone is not None:
        names.pop(change.gone, None)
    if change.come is not None:
        names[change.come] = change.file


def _content(real: Mapping[str, Any], place: Path) -> bytes:
    descriptor = real["open"](place, os.O_RDONLY)
    try:
        return os.pread(descriptor, os.fstat(descriptor).st_size, 0)
    finally:
        os.close(descriptor)


class _Written:
    """A file that is written through the steps of the disk, without a buffer."""

    def __init__(self, file: Any) -> None:
        self._file = file
        self.fileno, self.close, self.seek = file.fileno, file.close, file.seek

    def write(self, content: bytes) -> int:
        written = 0
        while written < len(content):
            written += os.write(self._file.fileno(), content[written:])
        return written

    def truncate(self, size: int) -> None:
        os.ftruncate(self._file.fileno(), size)

    def flush(self) -> None:
        """There is nothing to flush."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()
