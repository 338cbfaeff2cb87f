"""Files that a command is given by name: plans to read, and new files to write."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

from companion.cli.refused import Refused, is_there_already
from companion.words.faults import fault_words
from companion.words.saying import msgid, say, several, words_here
from engine.base.issue import Unreadable
from engine.base.reading import LARGEST_DOCUMENT_BYTES, read
from engine.plan.check import check
from engine.plan.plan import SessionPlan

SAMPLES = Path(__file__).parents[1] / "samples" / "plans"
WHY = {
    errno.ENOENT: msgid("its folder is not there"),
    errno.ENOTDIR: msgid("its folder is not there"),
    errno.EISDIR: msgid("it is a folder"),
    errno.EACCES: msgid("you may not open it"),
    errno.EPERM: msgid("you may not open it"),
    errno.EROFS: msgid("its disk can only be read"),
    errno.ENOSPC: msgid("the disk is full"),
    errno.EDQUOT: msgid("the disk is full"),
    errno.EFBIG: msgid("it is too large"),
    errno.ENAMETOOLONG: msgid("its name is too long"),
}
NO_NAME = msgid("it is not the name of a file")


def plan_without_faults(written: str) -> SessionPlan:
    """The plan in a file, or the sample of that name. Raises Refused, also for a plan with faults."""
    try:
        plan = plan_named(written)
        faults = check(plan)
    except Unreadable as unreadable:
        faults = unreadable.issues
    if faults:
        raise Refused(
            several(
                "The plan “{plan}” has a fault. {fault}",
                "The plan “{plan}” has {count} faults. The first: {fault}",
                len(faults),
                plan=written,
                fault=fault_words(faults[0]),
            )
        )
    return plan


def plan_named(written: str) -> SessionPlan:
    """The same, faulty or not. Raises Refused where there is no document, Unreadable where it is no plan."""
    return read(SessionPlan, document_named(written))


def document_named(written: str) -> bytes:
    """The bytes of a file, or of the sample of that name. Raises Refused.

    Stops one byte past the largest document, which is enough to see that it is too large.
    """
    path = Path(written)
    sample = _samples().get(written)
    if sample is not None and not os.path.exists(written):  # noqa: PTH110 - Path.exists raises on odd names
        path = sample
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_DOCUMENT_BYTES + 1)
    except FileNotFoundError:
        known = words_here().listed(name for name in _samples() if not name[0].isdigit())
        raise Refused(
            say(
                "There is no file and no sample called “{file}”. The samples are: {samples}.",
                file=written,
                samples=known,
            )
        ) from None
    except (OSError, ValueError) as error:
        raise Refused(say("“{file}” cannot be read: {why}.", file=written, why=_why(error))) from None


def _samples() -> dict[str, Path]:
    """The sample plans by file name, with and without the number in front."""
    files = sorted(SAMPLES.glob("*.json"))
    return {name: file for file in files for name in (file.stem, file.stem.lstrip("0123456789").lstrip("-"))}


def write_new(written: str, content: bytes, *, replace: bool) -> None:
    """Writes a whole file or none. Raises Refused, also for a file that exists unless it may be replaced."""
    try:
        path = Path(written)
        if replace and path.exists():
            _replace(path, content)
        else:
            _write(path, content)
    except FileExistsError:
        raise Refused(is_there_already(written)) from None
    except (OSError, ValueError) as error:
        raise Refused(say("“{file}” cannot be written: {why}.", file=written, why=_why(error))) from None


def _write(path: Path, content: bytes) -> None:
    with path.open("xb") as file:
        try:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        except OSError:
            path.unlink(missing_ok=True)
            raise


def _replace(path: Path, content: bytes) -> None:
    """Puts a new file in place of an old one, which stays until the new one is whole."""
    if not path.is_file():  # the terminal, or a pipe
        path.write_bytes(content)
        return
    path = path.resolve()
    fresh = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        _write(fresh, content)
        shutil.copymode(path, fresh)
        fresh.replace(path)
    except OSError:
        fresh.unlink(missing_ok=True)
        raise


def _why(error: OSError | ValueError) -> str:
    """A phrase; of a fault that has none here the words of the computer."""
    if not isinstance(error, OSError):
        return say(NO_NAME)
    return say(WHY[error.errno]) if error.errno in WHY else str(error.strerror or say(NO_NAME))
