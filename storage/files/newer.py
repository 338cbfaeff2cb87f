"""A data folder that a newer version wrote in: an older one changes nothing there.

What it cannot read could matter for the next session, such as pain, and what it writes could harm the rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from engine.live.events import RunningRecord
from storage.files.layout import format_in, version_in
from storage.problem import Cause, StorageProblem
from storage.schema import VERSION

BEGINNING_BYTES = 200
DERIVED = ("history-folds", "weeks-of-a-year")
"""Formats of what can be derived again; a newer one reads as missing."""


def refuse_newer(folder: Path) -> None:
    """Raises StorageProblem where a newer version wrote any file in a data folder.

    Reads the beginning of each file, which takes a millisecond for some hundred sessions.
    """
    versions = {"running-record": int(RunningRecord.model_fields["version"].default)}
    for path in _files_in(folder):
        beginning = _beginning_of(path)
        format = format_in(beginning)
        if format and format not in DERIVED and version_in(beginning) > versions.get(format, VERSION):
            raise StorageProblem(Cause.newer_records, path.name)


def _beginning_of(path: Path) -> bytes:
    """The first bytes of a file; of one that cannot be read none, because its reader says why."""
    with suppress(OSError), path.open("rb") as file:
        return file.read(BEGINNING_BYTES)
    return b""


def _files_in(folder: Path) -> Iterator[Path]:
    for place in (folder, folder / "sessions"):
        for pattern in ("[!.]*.json", "[!.]*.jsonl"):
            yield from (path for path in sorted(place.glob(pattern)) if path.is_file())
