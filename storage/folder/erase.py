"""Erasing a record or everything, with what was set aside or left behind."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from storage.files import disk
from storage.folder.session_files import Session, SessionFiles
from storage.journal import find
from storage.models import Tombstone
from storage.problem import StorageProblem, disk_faults_of

LEFT_BY_A_CRASH = (".*.new", ".*.passing")
SET_ASIDE = "*.damaged-*"


def forget_set_aside(folder: Path, record_id: str) -> None:
    """Removes every file set aside that names a record, or does not say whose session in progress it was."""
    with disk_faults_of(folder):
        disk.remove(*_holding(folder, record_id))


def _holding(folder: Path, record_id: str) -> Iterator[Path]:
    written = json.dumps(record_id, ensure_ascii=False).encode("utf-8", "surrogatepass")
    for pattern in LEFT_BY_A_CRASH:
        yield from folder.rglob(pattern)
    for path in folder.rglob(SET_ASIDE):
        content = path.read_bytes()
        if written in content or (path.name.startswith("running.jsonl") and _is_nobodys(content)):
            yield path


def _is_nobodys(content: bytes) -> bool:
    try:
        return find(content, "running record") is None
    except StorageProblem:
        return False


_KEPT_WHEN_ERASED = ("sessions", "owner.lock")


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
    stay = {folder / name for name in _KEPT_WHEN_ERASED}
    rest = [path for path in folder.rglob("*") if path.is_file() and not stay & {path, *path.parents}]
    with disk_faults_of(folder):
        disk.remove(*rest, *_left_behind(folder / "sessions"))
    return tuple(erased)


def _left_behind(sessions: Path) -> Iterator[Path]:
    for pattern in (*LEFT_BY_A_CRASH, SET_ASIDE):
        yield from sessions.glob(pattern)
