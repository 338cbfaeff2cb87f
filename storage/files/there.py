"""Whether a file is there, where the disk may not say.

``Path.exists`` and its like answer no for some faults, and from Python 3.14 on for all. What seems missing
would be begun again, and what was kept would be lost. So each fault but a missing name is raised.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path


def is_there(path: Path) -> bool:
    """Whether there is a file or folder. Raises OSError where the disk does not say."""
    return _status(path) is not None


def is_folder(path: Path) -> bool:
    """Whether there is a folder. Raises OSError where the disk does not say."""
    status = _status(path)
    return status is not None and stat.S_ISDIR(status.st_mode)


def is_file(path: Path) -> bool:
    """Whether there is a file. Raises OSError where the disk does not say."""
    status = _status(path)
    return status is not None and stat.S_ISREG(status.st_mode)


def _status(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return None
