"""Files that are only copies of what can be counted again: never worth a fault, a wait or two generations."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from storage.files import disk
from storage.files.durable import Damaged, decode, encode
from storage.problem import StorageProblem, disk_faults_of
from storage.schema import Tables

Seen = dict[Path, tuple[str, Tables]]
"""What was read last of each file, with its stamp: the same file need not be read again."""


class CopyFile:
    """One such file. A damaged one reads as empty; one by a newer version too, and is left as it is."""

    def __init__(
        self,
        path: Path,
        format: str,
        seen: Seen,
        makes_sense: Callable[[Tables], bool] = lambda _: True,
    ) -> None:
        self._path, self._format, self._seen = path, format, seen
        self._makes_sense = makes_sense
        self._is_newer = False

    def read(self) -> Tables:
        """What the file holds; not to be changed."""
        try:
            stamp = disk.stamp(self._path.stat())
            if self._path not in self._seen or self._seen[self._path][0] != stamp:
                tables = decode(self._path.read_bytes(), self._format, self._path.name)
                self._seen[self._path] = stamp, tables if self._makes_sense(tables) else {}
            return self._seen[self._path][1]
        except StorageProblem:
            self._is_newer = True
        except (OSError, Damaged):
            pass
        return {}

    def write(self, tables: Tables) -> None:
        """Replaces the file; where that fails, or is lost in a crash, it is counted again next time."""
        with suppress(OSError):
            self._replace(tables, at_once=False)

    def replace_for_good(self, tables: Tables) -> None:
        """Returns once nothing of what the file held before is left. Raises StorageProblem."""
        with disk_faults_of(self._path):
            try:
                self._replace(tables, at_once=True)
            except OSError:
                disk.remove(self._path)

    def _replace(self, tables: Tables, *, at_once: bool) -> None:
        if not self._is_newer:
            content = encode(tables, self._format)
            disk.replace_file(self._path, content, keep_previous=False, at_once=at_once)
