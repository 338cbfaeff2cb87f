"""What was set aside or left behind, and still holds an erased record."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

from storage import disk
from storage.journal import find
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
