"""Erasing a record or everything, with what was set aside or left by a crash, and nothing that is not ours.

Other programs may keep their files in a data folder. A file is ours by its name and its place, unless it
holds a whole document of another kind.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from storage.files import disk
from storage.files.layout import format_in, is_of_another_program
from storage.files.leftovers import Beside, beside_in
from storage.files.there import is_file, is_folder
from storage.folder.running_file import RUNNING_NAME
from storage.folder.session_files import Session, SessionFiles, is_a_name
from storage.journal import sound_part
from storage.models import Tombstone
from storage.problem import Cause, StorageProblem, disk_faults_of

SESSIONS, INDEX = "sessions", "index"
CONCERNS = (
    "profile",
    "kit",
    "settings",
    "today",
    "adjustments",
    "week-notes",
    "pain-notes",
    "plans",
    "drafts",
    "device",
    "history",
    "removed",
)
"""Each is kept in a file of its own, directly in the data folder."""

_TOP = {*(f"{name}.json" for name in CONCERNS), RUNNING_NAME}
_YEAR = re.compile(r"[0-9]{4}\.json")


class OwnFile(NamedTuple):
    """A file of ours, and what its name says of it."""

    path: Path
    beside: Beside


def own_files(folder: Path) -> Iterator[OwnFile]:
    """Every file of ours in a data folder but the lock of its owner."""
    for place in (folder, folder / SESSIONS, folder / INDEX):
        for path in sorted(place.iterdir()) if is_folder(place) else ():
            beside = beside_in(path.name)
            if beside and _is_ours(beside.of, place, folder) and is_file(path) and not _is_foreign(path):
                yield OwnFile(path, beside)


def _is_ours(of: str, place: Path, folder: Path) -> bool:
    if place == folder:
        return of in _TOP
    if place == folder / INDEX:
        return _YEAR.fullmatch(of) is not None
    return of.endswith(".json") and is_a_name(of.removesuffix(".json"))


def _is_foreign(path: Path) -> bool:
    content = path.read_bytes()
    return format_in(content) is None and is_of_another_program(content)


def holds_ours(folder: Path) -> bool:
    """Whether a folder holds a file whose beginning says that we wrote it."""
    return any(format_in(one.path.read_bytes()) for one in own_files(folder))


def refuse_what_is_not_ours(folder: Path) -> None:
    """Raises StorageProblem for a folder that holds no file of ours."""
    with disk_faults_of(folder):
        if not holds_ours(folder):
            raise StorageProblem(Cause.not_ours, folder.name)


def forget_set_aside(folder: Path, record_id: str) -> None:
    """Removes every file set aside that names a record, or that does not say whose session it held."""
    with disk_faults_of(folder):
        disk.remove(*_left_of(folder, record_id))


def _left_of(folder: Path, record_id: str) -> Iterator[Path]:
    named = json.dumps(record_id, ensure_ascii=False).encode("utf-8", "surrogatepass")
    for path, beside in own_files(folder):
        content = path.read_bytes() if beside.is_aside else b""
        if beside.is_crash or named in content or (beside.of == RUNNING_NAME and _is_nobodys(content)):
            yield path


def _is_nobodys(content: bytes) -> bool:
    """Whether the opening of a running record is damaged, so that nothing tells which session it was."""
    try:
        return bool(content) and sound_part(content, "running record") is None
    except StorageProblem:
        return False


def erase_all(folder: Path, sessions: SessionFiles, *, at: datetime) -> tuple[str, ...]:
    """Erases all that is ours in a data folder except tombstones; returns the ids of the records erased."""
    with disk_faults_of(folder):
        ours = tuple(own_files(folder))
    own = {one.path for one in ours}
    kept = [name for name, stamp in sessions.stamps().items() if not stamp or sessions.path(name) in own]
    erased = []
    for name in sorted(kept):
        session = sessions.readable(name)
        if session is None or session == Session(None, (), None):
            sessions.remove(name)
        elif session.record is not None:
            sessions.erase(Tombstone(record_id=session.record.id, erased_at=at))
            erased.append(session.record.id)
    with disk_faults_of(folder):
        disk.remove(*(path for path, beside in ours if path.parent != sessions.folder or beside.is_leftover))
        disk.remove(*(path for path, beside in own_files(folder) if beside.is_leftover))
    return tuple(erased)
