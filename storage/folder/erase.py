"""Erasing a record or everything, with what was set aside or left by a crash."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from storage.files import disk
from storage.files.leftovers import left_by_a_crash, set_aside
from storage.folder.owner import LOCK_NAME
from storage.folder.running_file import RUNNING_NAME
from storage.folder.session_files import Session, SessionFiles
from storage.journal import sound_part
from storage.models import Tombstone
from storage.problem import StorageProblem, disk_faults_of


def forget_set_aside(folder: Path, record_id: str) -> None:
    """Removes every file set aside that names a record, or that does not say whose session it held."""
    with disk_faults_of(folder):
        disk.remove(*left_by_a_crash(folder), *_set_aside_naming(folder, record_id))


def _set_aside_naming(folder: Path, record_id: str) -> Iterator[Path]:
    named = json.dumps(record_id, ensure_ascii=False).encode("utf-8", "surrogatepass")
    for path in set_aside(folder):
        content = path.read_bytes()
        if named in content or (path.name.startswith(RUNNING_NAME) and _is_nobodys(content)):
            yield path


def _is_nobodys(content: bytes) -> bool:
    """Whether the opening of a running record is damaged, so that nothing tells which session it was."""
    try:
        return sound_part(content, "running record") is None
    except StorageProblem:
        return False


def erase_all(folder: Path, sessions: SessionFiles, *, at: datetime) -> tuple[str, ...]:
    """Erases everything in a data folder except tombstones; returns the ids of the records erased."""
    erased = []
    for name in sorted(sessions.stamps()):
        session = sessions.readable(name)
        if session is None or session == Session(None, (), None):
            sessions.remove(name)
        elif session.record is not None:
            sessions.erase(Tombstone(record_id=session.record.id, erased_at=at))
            erased.append(session.record.id)
    stay = {sessions.folder, folder / LOCK_NAME}
    rest = [path for path in folder.rglob("*") if path.is_file() and not stay & {path, *path.parents}]
    with disk_faults_of(folder):
        disk.remove(*rest, *left_by_a_crash(sessions.folder), *set_aside(sessions.folder))
    return tuple(erased)
