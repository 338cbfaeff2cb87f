"""What can go wrong with the stores: an exception built from data, which says one message."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

from engine.base.message import LONGEST_OWN, Message, Own, Said, message
from engine.base.printable import printable_line


class Cause(StrEnum):
    """Why something could not be read or saved."""

    disk_full = "disk_full"
    read_only = "read_only"
    not_permitted = "not_permitted"
    disk_fault = "disk_fault"
    damaged = "damaged"
    browser_full = "browser_full"
    browser_refuses = "browser_refuses"
    browser_fault = "browser_fault"
    browser_newer = "browser_newer"
    held_open = "held_open"
    folder_full = "folder_full"
    folder_gone = "folder_gone"
    folder_lapsed = "folder_lapsed"
    folder_no_tap = "folder_no_tap"
    folder_fault = "folder_fault"
    folder_away = "folder_away"
    folder_stranger = "folder_stranger"
    newer = "newer"
    newer_records = "newer_records"
    not_understood = "not_understood"
    not_ours = "not_ours"
    not_owner = "not_owner"
    another_computer = "another_computer"
    already_saved = "already_saved"
    no_such_record = "no_such_record"
    run_in_progress = "run_in_progress"
    no_run = "no_run"
    no_profile = "no_profile"


_MAY_PASS = {
    Cause.disk_full,
    Cause.read_only,
    Cause.not_permitted,
    Cause.disk_fault,
    Cause.browser_full,
    Cause.browser_refuses,
    Cause.browser_fault,
    Cause.damaged,
    Cause.held_open,
}


class StorageProblem(Exception):
    """Something could not be read or saved. ``where`` names the file, record or run."""

    def __init__(self, cause: Cause, where: str = "", detail: str = "") -> None:
        self.cause, self.where, self.detail = cause, where, detail
        super().__init__(f"{cause}: {where} {detail}")

    @property
    def what(self) -> Message:
        """What is said of it."""
        return message(f"storage_{self.cause}", where=named(self.where), detail=named(self.detail))

    @property
    def may_pass(self) -> bool:
        """Whether the same may work later, because it is the disk or the browser that refuses."""
        return self.cause in _MAY_PASS

    @property
    def is_of_folder(self) -> bool:
        """Whether it is the folder for copies that refuses: the records themselves are as they were."""
        return self.cause.startswith("folder_")


class Trouble(NamedTuple):
    """A fault that was mended as far as possible: the file, and what is said of it."""

    where: str
    said: Said


def named(text: str) -> Own:
    """A name or words from outside, to stand in a message."""
    return Own(own=printable_line(text).strip()[:LONGEST_OWN] or "–")


_CAUSES = {
    errno.ENOSPC: Cause.disk_full,
    errno.EDQUOT: Cause.disk_full,
    errno.EROFS: Cause.read_only,
    errno.EACCES: Cause.not_permitted,
    errno.EPERM: Cause.not_permitted,
}


@contextmanager
def disk_faults_of(path: Path) -> Iterator[None]:
    """Turns errors of the operating system about a file into a StorageProblem."""
    try:
        yield
    except OSError as error:
        cause = _CAUSES.get(error.errno or 0, Cause.disk_fault)
        raise StorageProblem(cause, path.name, error.strerror or type(error).__name__) from error
