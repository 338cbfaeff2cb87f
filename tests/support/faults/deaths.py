"""A disk that dies, or refuses, at a chosen step of a write.

No code can handle a death: nothing runs after it. What was not synced by then may be lost, so such files are
cut at a random place. Files are renamed and removed in order, as on file systems with a journal.
"""

from __future__ import annotations

import builtins
import io
import os
import random
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Self

import pytest

STEPS = ("fsync", "replace", "link", "unlink", "mkdir", "write")


class Death(BaseException):
    """The process has died."""


class Disk:
    """Counts steps, and dies or refuses at the chosen one: before, half-way through or after it.

    With ``code`` it refuses: at this step, or from it on where it ``lasts``, when opening a file to write is
    a step too.
    """

    def __init__(
        self, at: int, *, moment: str = "before", code: int | None = None, lasts: bool = False, seed: int = 0
    ) -> None:
        self.at, self.moment, self.code, self.lasts = at, moment, code, lasts
        self.steps = 0
        self._draw = random.Random(seed)
        self._unsynced: dict[int, Path] = {}
        self._is_dead = False

    @contextmanager
    def in_use(self) -> Iterator[None]:
        """Puts this disk under all file operations; afterwards the real disk shows what is left."""
        with pytest.MonkeyPatch.context() as patch:
            for name in STEPS:
                patch.setattr(os, name, self._step(getattr(os, name), name))
            for home in (io, builtins):
                patch.setattr(home, "open", self._opened(home.open))
            try:
                yield
            except Death:
                self._is_dead = True
        if self._is_dead:
            self._lose_what_was_not_synced()

    def _step(self, really: Any, name: str) -> Any:
        def step(*given: Any, **options: Any) -> Any:
            self.steps += 1
            if self._refuses():
                raise OSError(self.code, os.strerror(self.code or 0))
            if self.steps != self.at or self.code is not None:
                return self._done(really, name, *given, **options)
            if self.moment == "half-way" and name == "write":
                really(given[0], given[1][: self._draw.randrange(len(given[1]) + 1)])
            elif self.moment == "after":
                self._done(really, name, *given, **options)
            raise Death

        return step

    def _refuses(self) -> bool:
        reached = self.steps >= self.at if self.lasts else self.steps == self.at
        return self.code is not None and reached

    def _done(self, really: Any, name: str, *given: Any, **options: Any) -> Any:
        result = really(*given, **options)
        if name == "fsync":
            self._unsynced.pop(os.fstat(given[0]).st_ino, None)
        if name == "replace":
            inode = os.stat(given[1]).st_ino  # noqa: PTH116
            if inode in self._unsynced:
                self._unsynced[inode] = Path(given[1])
        return result

    def _opened(self, really: Any) -> Any:
        def opened(path: Any, mode: str = "r", *given: Any, **options: Any) -> Any:
            if self.lasts and mode in ("ab", "rb+", "wb"):
                self.steps += 1
                if self._refuses():
                    raise OSError(self.code, os.strerror(self.code or 0))
            if mode != "wb":
                return really(path, mode, *given, **options)
            file = really(path, mode, buffering=0, **options)
            self._unsynced[os.fstat(file.fileno()).st_ino] = Path(path)
            return _Written(file)

        return opened

    def _lose_what_was_not_synced(self) -> None:
        for path in self._unsynced.values():
            if path.exists() and self._draw.random() < 0.7:
                size = path.stat().st_size
                os.truncate(path, self._draw.randrange(size + 1))


class _Written:
    """A file whose every write is a step of the disk."""

    def __init__(self, file: Any) -> None:
        self._file = file

    def write(self, content: bytes) -> int:
        written = 0
        while written < len(content):
            written += os.write(self._file.fileno(), content[written:])
        return written

    def flush(self) -> None:
        self._file.flush()

    def fileno(self) -> int:
        number: int = self._file.fileno()
        return number

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()
