"""Which computer has a folder: a mark in it, for folders that a service copies between computers.

The system's lock holds on one computer only. A mark that another one left says that it has the folder open,
or ended without letting go. A mark comes as late as the service copies it, so it is looked at before each
change.
"""

from __future__ import annotations

import hashlib
import json
import os
import platform
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import NamedTuple

from storage.files import disk

MARK_NAME = "owner.computer"
MACHINE_ID = Path("/etc/machine-id")
"""On Linux (machine-id(5)); elsewhere the name of the computer has to do."""
LONGEST_MARK_BYTES = 1_000


class Computer(NamedTuple):
    """A computer, by a name to show and an id that tells nothing about it."""

    id: str
    name: str


@cache
def this_computer() -> Computer:
    name, machine = platform.node(), ""
    with suppress(OSError, ValueError):
        machine = MACHINE_ID.read_text(encoding="ascii").strip()
    return Computer(hashlib.sha256(f"{machine} {name}".encode()).hexdigest()[:16], name or "?")


class ComputerMark:
    """The mark in one folder."""

    def __init__(self, folder: Path, computer: Computer | None = None) -> None:
        self._path, self._computer = folder / MARK_NAME, computer or this_computer()
        self._stamp = ""

    def other(self) -> str | None:
        """The name of the other computer whose mark is there; None where there is none."""
        try:
            held = json.loads(self._path.read_bytes()[:LONGEST_MARK_BYTES])
        except (OSError, ValueError, RecursionError):
            return None
        match held:
            case {"id": str(id), "name": str(name)} if id != self._computer.id:
                return name
        return None

    def set(self) -> None:
        """Leaves the mark of this computer. Where that cannot be written, nothing warns another one."""
        with suppress(OSError):
            content = json.dumps(self._computer._asdict()).encode()
            disk.replace_file(self._path, content, keep_previous=False, at_once=False)
            self._stamp = disk.stamp(os.stat(self._path))  # noqa: PTH116 - looked at before each change

    def is_ours(self) -> bool:
        """Whether no other computer has left its mark since. Reads the mark only where it has changed."""
        try:
            stamp = disk.stamp(os.stat(self._path))  # noqa: PTH116 - looked at before each change
        except OSError:
            return True
        if stamp != self._stamp and self.other() is None:
            self._stamp = stamp
        return stamp == self._stamp

    def clear(self) -> None:
        """Takes the mark of this computer away, and leaves another one's."""
        if self.other() is None:
            with suppress(OSError):
                self._path.unlink(missing_ok=True)
