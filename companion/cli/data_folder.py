"""How commands get at a data folder, and at files that others wrote. Every fault becomes a Refused."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable, Coroutine, Iterable
from pathlib import Path
from typing import Any, TypeVar

from companion.cli.refused import Refused
from companion.words.faults import fault_words, why
from companion.words.saying import said, say
from engine.base.issue import Unreadable
from engine.base.message import Message
from engine.base.printable import printable_lines
from storage.exchange.bring_in import AnotherPerson
from storage.files import disk
from storage.files.newer import refuse_newer
from storage.folder.owner import FolderLock
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem, disk_faults_of

Found = TypeVar("Found")


def ask_folder(folder: Path, ask: Callable[[FolderStore], Coroutine[Any, Any, Found]]) -> Found:
    """Asks a data folder without changing it, and says on the error stream what is damaged in it."""
    refuse_missing(folder)
    return run(_asked(FolderStore(folder, may_write=lambda: False), ask))


def change_folder(folder: Path, change: Callable[[FolderStore], Coroutine[Any, Any, Found]]) -> Found:
    """Changes a data folder as its owner, and says on the error stream what is damaged in it.

    Makes the folder if there is none, and changes nothing in one that a newer version wrote.
    """
    lock = FolderLock(folder)
    try:
        with disk_faults_of(folder):
            disk.make_folder(folder)
        if not lock.take():
            elsewhere = Cause.another_computer if lock.elsewhere else Cause.not_owner
            raise StorageProblem(elsewhere, lock.elsewhere)
        refuse_newer(folder)
        return run(_asked(FolderStore(folder), change))
    except StorageProblem as problem:
        raise Refused(printable_lines(why(problem))) from None
    finally:
        lock.release()


async def _asked(store: FolderStore, ask: Callable[[FolderStore], Coroutine[Any, Any, Found]]) -> Found:
    found = await ask(store)
    warn([one for trouble in await store.troubles() for one in trouble.said])
    return found


def run(doing: Coroutine[Any, Any, Found]) -> Found:
    """Runs calls of the store to their end."""
    try:
        return asyncio.run(doing)
    except (StorageProblem, AnotherPerson) as problem:
        raise Refused(printable_lines(why(problem))) from None


def refuse_missing(folder: Path) -> None:
    if not os.path.isdir(folder):  # noqa: PTH112 - Path.is_dir raises on odd names
        raise Refused(say("There is no folder “{folder}”.", folder=str(folder)))


def file_as(refusal: str, path: Path, read: Callable[[bytes], Found], *, most_bytes: int) -> Found:
    """What ``read`` makes of a file; ``refusal`` is the text that says it cannot.

    Stops one byte past ``most_bytes``, which is enough for ``read`` to see that the file is too large.
    """
    try:
        with disk_faults_of(path), path.open("rb") as file:
            return read(file.read(most_bytes + 1))
    except Unreadable as unreadable:
        fault = fault_words(unreadable.issues[0])
        raise Refused(printable_lines(say(refusal, file=str(path), fault=fault))) from None
    except (StorageProblem, ValueError) as problem:
        raise Refused(why(problem)) from None


def warn(told: Iterable[Message]) -> None:
    """Says something on the error stream, a sentence a line."""
    for one in told:
        print(printable_lines(said(one)), file=sys.stderr)
