"""What can go wrong with the stores: an exception built from data, with one plain sentence to show."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple


class Cause(StrEnum):
    """Why something could not be read or saved."""

    disk_full = "disk_full"
    read_only = "read_only"
    not_permitted = "not_permitted"
    disk_fault = "disk_fault"
    browser_full = "browser_full"
    browser_refuses = "browser_refuses"
    browser_fault = "browser_fault"
    browser_newer = "browser_newer"
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


_SENTENCES = {
    Cause.disk_full: "The disk is full: “{where}” was not saved; what was saved before is still there.",
    Cause.read_only: "“{where}” could not be saved because its disk or folder can only be read.",
    Cause.not_permitted: "You may not open or change “{where}”: check the permissions of its folder.",
    Cause.disk_fault: "“{where}” could not be read or saved ({detail}).",
    Cause.browser_full: "There is no room left for this page, so this was not saved: save a copy of your "
    "records to a file, then clear some space.",
    Cause.browser_refuses: "This browser keeps nothing for this page: open it in an ordinary window, not a "
    "private one, or save your records to a file before you close it.",
    Cause.browser_fault: "The browser could not read or save this ({detail}): save a copy of your records to "
    "a file, then open the page again.",
    Cause.browser_newer: "A newer version of this page kept your records in this browser, and this older one "
    "cannot read them. Nothing was changed: once the newer version is back, your records are there again.",
    Cause.folder_full: "There is no room left for a copy in the folder “{where}”.",
    Cause.folder_gone: "The folder “{where}” is not there any more: choose one again.",
    Cause.folder_lapsed: "The browser does not let this page write into the folder “{where}” now.",
    Cause.folder_no_tap: "The browser asks only right after a tap: press the button once more.",
    Cause.folder_fault: "The copy in the folder “{where}” could not be written or read ({detail}); what was "
    "there before is still there.",
    Cause.folder_away: "The page did not answer, so no copy was written.",
    Cause.folder_stranger: "The application was started again: load this page again, then copies go on.",
    Cause.newer: "“{where}” was written by a newer version ({detail}); it was left as it is.",
    Cause.newer_records: "A newer version of the companion wrote “{where}”, and this older one cannot read "
    "it. Nothing was changed: open these records with the newer version, and they are all there.",
    Cause.not_understood: "“{where}” holds what this version cannot read; it was left as it is.",
    Cause.not_ours: "“{where}” holds none of the companion's files; nothing was erased.",
    Cause.not_owner: "Another window or program is using these files; this one only reads.",
    Cause.another_computer: "The computer “{where}” has these files open, or ended without closing them: "
    "close them there first, or open them here in the application and take them over.",
    Cause.already_saved: "“{where}” is saved already with another content; add a correction instead.",
    Cause.no_such_record: "There is no record “{where}”.",
    Cause.run_in_progress: "A session is still in progress; finish or end it first.",
    Cause.no_run: "No session is in progress.",
    Cause.no_profile: "Nobody has trained here yet: there is no profile.",
}


_MAY_PASS = {
    Cause.disk_full,
    Cause.read_only,
    Cause.not_permitted,
    Cause.disk_fault,
    Cause.browser_full,
    Cause.browser_refuses,
    Cause.browser_fault,
}


class StorageProblem(Exception):
    """Something could not be read or saved. ``where`` names the file, record or run."""

    def __init__(self, cause: Cause, where: str = "", detail: str = "") -> None:
        self.cause, self.where, self.detail = cause, where, detail
        super().__init__(_SENTENCES[cause].format(where=where, detail=detail))

    @property
    def may_pass(self) -> bool:
        """Whether the same may work later, because it is the disk or the browser that refuses."""
        return self.cause in _MAY_PASS

    @property
    def is_of_folder(self) -> bool:
        """Whether it is the folder for copies that refuses: the records themselves are as they were."""
        return self.cause.startswith("folder_")


class Trouble(NamedTuple):
    """A fault that was mended as far as possible: the file, and one sentence to show."""

    where: str
    message: str


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
