"""Files that hold only what can be derived again: never worth a fault, a wait or a second generation."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from storage import schema
from storage.files import disk
from storage.files.layout import Damaged, decode, encode
from storage.problem import StorageProblem, disk_faults_of
from storage.schema import Tables

MADE_AS, VERSION = "made_as", "version"
"""Table and key of the version under which a file was derived."""
FileCache = dict[Path, tuple[str, Tables]]
"""The content last read of each file, with the file's stamp: a file with the same stamp is not read again."""


class DerivedFile:
    """One such file. It reads as empty where it is damaged or was derived under another DERIVED_VERSION.

    One that a newer version of the application wrote reads as empty too, and is never replaced.
    """

    def __init__(
        self,
        path: Path,
        format: str,
        cache: FileCache,
        makes_sense: Callable[[Tables], bool] = lambda _: True,
    ) -> None:
        self._path, self._format, self._cache = path, format, cache
        self._makes_sense = makes_sense
        self._is_newer = False

    def read(self) -> Tables:
        """What the file holds; not to be changed."""
        try:
            stamp = disk.stamp(self._path.stat())
            if self._path not in self._cache or self._cache[self._path][0] != stamp:
                self._cache[self._path] = stamp, self._current()
            return self._cache[self._path][1]
        except StorageProblem:
            self._is_newer = True
        except (OSError, Damaged):
            pass
        return {}

    def _current(self) -> Tables:
        tables = decode(self._path.read_bytes(), self._format, self._path.name)
        made_as = tables.pop(MADE_AS, None)
        return tables if made_as == _made_as() and self._makes_sense(tables) else {}

    def save(self, tables: Tables) -> None:
        """Replaces the file. Where that fails or a crash undoes it, the content is derived again later."""
        with suppress(OSError):
            self._replace(tables, at_once=False)

    def save_for_good(self, tables: Tables) -> None:
        """Returns once nothing of what the file held before is left. Raises StorageProblem."""
        with disk_faults_of(self._path):
            try:
                self._replace(tables, at_once=True)
            except OSError:
                disk.remove(self._path)

    def _replace(self, tables: Tables, *, at_once: bool) -> None:
        if not self._is_newer:
            content = encode({MADE_AS: _made_as(), **tables}, self._format)
            disk.replace_file(self._path, content, keep_previous=False, at_once=at_once)


def _made_as() -> dict[str, int]:
    return {VERSION: schema.DERIVED_VERSION}
