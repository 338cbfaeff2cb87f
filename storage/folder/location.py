"""Where the data folder is when the user names none, and where in it others who train here have theirs."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Mapping
from pathlib import Path
from uuid import uuid4

from storage.problem import disk_faults_of
from storage.trainees import FIRST

NAME = "session-companion"
TRAINEES = "trainees"
_KEY = re.compile(r"[0-9a-f]{32}")


def default_folder(
    *,
    platform: str = sys.platform,
    environment: Mapping[str, str] = os.environ,
    home: Path | None = None,
) -> Path:
    """The folder for a program's own data, by the convention of the system.

    Linux and others: XDG Base Directory Specification 0.8, ``XDG_DATA_HOME``, which has to be absolute, else
    ``~/.local/share``. Windows: ``%LOCALAPPDATA%``. macOS: ``~/Library/Application Support``.
    """
    home = home or Path.home()
    if platform == "win32":
        local = environment.get("LOCALAPPDATA")
        return (Path(local) if local else home / "AppData" / "Local") / NAME
    if platform == "darwin":
        return home / "Library" / "Application Support" / NAME
    chosen = environment.get("XDG_DATA_HOME", "")
    return (Path(chosen) if chosen.startswith("/") else home / ".local" / "share") / NAME


def folder_of(folder: Path, key: str) -> Path:
    """The data folder of one person who trains on this device."""
    return folder / TRAINEES / key if key else folder


def keys_in(folder: Path) -> tuple[str, ...]:
    """The key of everyone who has a data folder on this device. Raises StorageProblem."""
    others = folder / TRAINEES
    with disk_faults_of(others):
        found = sorted(others.iterdir()) if others.is_dir() else []
        return (FIRST, *(one.name for one in found if _KEY.fullmatch(one.name) and one.is_dir()))


def new_key() -> str:
    """A key for somebody who is to train here too."""
    return uuid4().hex
