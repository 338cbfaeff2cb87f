"""Where the data folder is when the user names none."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

NAME = "session-companion"


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
