"""What tests of the store in a folder share: some sessions, and ways to read or spoil their files."""

from __future__ import annotations

import os
from pathlib import Path

from recounted import on

from storage.folder.store import FolderStore

SECRET = "my-own-business"


async def filled(store: FolderStore) -> FolderStore:
    for day in ("2026-02-27", "2026-03-01", "2026-03-02", "2026-03-31", "2026-04-01"):
        await store.sessions.save(on(day, effort=6, loads_g={"one-hand-press": 5_000}))
    return store


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def make_unreadable(sessions: Path, *names: str) -> None:
    """Damages sessions in a way that the index cannot see: only a reader of the file finds out."""
    for path in sessions.glob("*.json"):
        if path.stem in names or not names:
            status = path.stat()
            path.write_bytes(b"~" * status.st_size)
            os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))
