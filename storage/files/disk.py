"""Durable steps on a disk: a step that returns would survive a pulled battery."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import IO

from storage.files.leftovers import free_place_aside, new_of, passing_of, previous_of
from storage.files.there import is_folder, is_there

if sys.platform == "darwin":
    import fcntl

REPLACE_TRIES = 6
FIRST_PAUSE_S = 0.01
"""Doubled after each try, about 0.3 s in all: as long as a virus scanner usually holds a file. No source."""

Pause = Callable[[float], None]
"""Waits for some seconds."""
_unsynced: set[Path] = set()
"""Folders whose sync failed: ``make_good`` syncs them before anything else counts as saved."""


def sync(descriptor: int) -> None:
    """Returns once the content is on the medium. On macOS an ordinary sync stops at the drive's cache."""
    if sys.platform == "darwin":
        with suppress(OSError):  # Some file systems do not know it; then the ordinary sync has to do.
            fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
            return
    os.fsync(descriptor)


def sync_folder(folder: Path) -> None:
    """Makes names durable: of files created, replaced or removed. Windows has no such call and needs none."""
    if sys.platform == "win32":
        return
    _unsynced.add(folder)
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        sync(descriptor)
    finally:
        os.close(descriptor)
    _unsynced.discard(folder)


def make_good(folder: Path) -> None:
    """Makes durable what a failed sync left undone in a folder, its parents and its subfolders."""
    for place in [one for one in _unsynced if folder in (one, *one.parents) or one in folder.parents]:
        if is_folder(place):
            sync_folder(place)
        _unsynced.discard(place)


def make_folder(folder: Path) -> None:
    """Makes a folder that only its user can read: what hurts is nobody else's business."""
    if not is_folder(folder):
        make_folder(folder.parent)
        folder.mkdir(mode=0o700, exist_ok=True)
        sync_folder(folder.parent)


def holds(path: Path, content: bytes) -> bool:
    """Whether a file has this content, under a name that would survive a pulled battery."""
    return path.parent not in _unsynced and is_there(path) and path.read_bytes() == content


def stamp(status: os.stat_result) -> str:
    """A text that changes when a file is replaced, grows, shrinks or is written again."""
    return f"{status.st_mtime_ns:x}-{status.st_size:x}-{status.st_ino:x}"


def replace_file(
    path: Path,
    content: bytes,
    *,
    keep_previous: bool = True,
    at_once: bool = True,
    pause: Pause = time.sleep,
) -> None:
    """Replaces the content of a file: at any moment the old or the new content is there in full.

    Returns once the new content is durable; with ``at_once`` False sooner, for what can be derived again.
    Raises OSError and leaves the old content where the new cannot be written.
    """
    make_folder(path.parent)
    fresh = new_of(path)
    try:
        with open_private(fresh, "wb") as file:
            file.write(content)
            file.flush()
            if at_once:
                sync(file.fileno())
        if keep_previous and is_there(path):
            _double(path, previous_of(path), pause)
        _replace(fresh, path, pause)
    except OSError:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise
    if at_once:
        sync_folder(path.parent)


def open_private(path: Path, mode: str) -> IO[bytes]:
    """Opens a file that nobody but its user may read where this makes it, whatever its folder allows."""
    return open(path, mode, opener=lambda name, flags: os.open(name, flags, 0o600))


def _copy(source: Path, target: Path) -> None:
    with source.open("rb") as read, open_private(target, "wb") as written:
        shutil.copyfileobj(read, written)
        written.flush()
        sync(written.fileno())


def bring_back(path: Path, *, pause: Pause = time.sleep) -> None:
    """Makes the previous generation the current one again; it stays the previous one too."""
    _double(previous_of(path), path, pause)
    sync_folder(path.parent)


def _double(source: Path, target: Path, pause: Pause) -> None:
    """Gives a file a second name, replacing the file that had it. The source keeps its name throughout."""
    passing = passing_of(target)
    passing.unlink(missing_ok=True)
    try:
        passing.hardlink_to(source)
    except OSError:  # No hard links here, on a memory card for instance.
        _copy(source, passing)
    _replace(passing, target, pause)
    # Where both names were one file already, POSIX lets the replacing do nothing and keeps the passing name.
    passing.unlink(missing_ok=True)


def _replace(source: Path, target: Path, pause: Pause) -> None:
    """Replaces a file, trying again while another program holds it (Windows)."""
    for attempt in range(REPLACE_TRIES - 1):
        try:
            source.replace(target)
            return
        except PermissionError:
            pause(FIRST_PAUSE_S * 2**attempt)
    source.replace(target)


def set_aside(path: Path, *, pause: Pause = time.sleep) -> Path:
    """Renames a damaged file, because a person might still read it. Returns its new place."""
    aside = free_place_aside(path)
    _replace(path, aside, pause)
    sync_folder(path.parent)
    return aside


def copy_aside(path: Path) -> Path:
    """Copies a damaged file whose sound part stays in use. Returns the place of the copy."""
    aside = free_place_aside(path)
    _copy(path, aside)
    sync_folder(path.parent)
    return aside


def remove(*paths: Path) -> None:
    """Removes files, whether they are there or not."""
    there = [path for path in paths if is_there(path)]
    for path in there:
        path.unlink(missing_ok=True)
    for folder in {path.parent for path in there}:
        sync_folder(folder)
