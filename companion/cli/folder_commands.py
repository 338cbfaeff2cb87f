"""The commands that keep a data folder: what they can be asked is in keep_options.py."""

from __future__ import annotations

import argparse
import asyncio
import os
import sys
from collections.abc import Callable, Coroutine, Iterable
from pathlib import Path
from typing import Any, TypeVar

from companion.cli.documents import Refused
from companion.services.clock import SystemClock
from engine.base.issue import Unreadable
from engine.base.phrases import number_of
from engine.base.printable import printable_lines
from engine.record.record import Record
from storage.exchange.backup import (
    LARGEST_BACKUP_BYTES,
    Holdings,
    gather,
    read_backup,
    sentences,
    write_backup,
)
from storage.exchange.bring_in import AnotherPerson, Brought, bring_in
from storage.exchange.merge import Conflict, Keep
from storage.exchange.restore import replace_all
from storage.exchange.shared_folder import merge_through
from storage.files import disk
from storage.folder.owner import FolderLock
from storage.folder.store import NativeStore
from storage.problem import Cause, StorageProblem, disk_faults_of

TO_DECIDE = 1
"""The exit code when two versions of something wait for an answer."""
Found = TypeVar("Found")


def back_up(options: argparse.Namespace) -> int:
    """Writes everything into one file; what cannot be read is left out and said."""
    folder: Path = options.folder
    _refuse_missing(folder)
    gathered = _run(gather(NativeStore(folder, may_write=lambda: False)))
    _write(Path(options.out), write_backup(gathered.holdings), replace=options.replace)
    _say(gathered.left_out)
    print(f"{options.out}: {_list(sentences(gathered.holdings))}.")
    return 0


def restore(options: argparse.Namespace) -> int:
    """Adds what a backup holds, or puts it in the place of everything."""
    holdings = _read(options.file)
    if options.replace:
        _with_folder(options.folder, lambda store: replace_all(store, holdings))
        print(f"{options.folder} now holds what “{options.file}” holds: {_list(sentences(holdings))}.")
        return 0
    brought = _with_folder(options.folder, lambda store: bring_in(store, holdings))
    return _tell(str(options.file), brought)


def merge(options: argparse.Namespace) -> int:
    """Takes in what other devices wrote in a shared folder, and writes there what is here."""
    _refuse_missing(options.folder)
    _refuse_missing(options.shared)
    merged = _with_folder(
        options.folder,
        lambda store: merge_through(
            store,
            options.shared,
            keep=Keep(options.keep) if options.keep else None,
            same_person=options.same_person,
        ),
    )
    _say(merged.left_out)
    if not merged.files:
        print("No other device of this person has written there yet.")
    return _tell(", ".join(merged.files) or str(options.shared), merged.brought)


def erase(options: argparse.Namespace) -> int:
    """Erases one session or everything, and says what is gone."""
    _refuse_missing(options.folder)
    now = SystemClock().now().replace(microsecond=0)
    if options.all:
        erased = _with_folder(options.folder, lambda store: store.erase_all(at=now))
        print(f"Gone: {number_of(len(erased), 'session')}, profile, kit, plans and any session in progress.")
    else:
        record = _with_folder(options.folder, lambda store: _erase_one(store, options.record_id, now))
        told = (
            f"the session of {record.local_date} and what was added to it" if record else "nothing was here"
        )
        print(f"Gone: {told}.")
    print(
        "Only ids stay, so that no merge brings them back. Backups, pages and what other devices wrote "
        "before still hold what they held: delete them, or merge each device again."
    )
    return 0


async def _erase_one(store: NativeStore, record_id: str, at: Any) -> Record | None:
    record = await store.sessions.record(record_id)
    await store.sessions.erase(record_id, at=at)
    return record


def _tell(name: str, brought: Brought) -> int:
    """Says what a file brought; 1 while something waits for an answer."""
    new = brought.added._replace(tombstones=())
    erased = [f"{number_of(len(brought.erased), 'session')} erased"] if brought.erased else []
    print(f"{printable_lines(name)}: {_list([*sentences(new), *erased]) or 'nothing new'}.")
    for conflict in brought.open:
        print(
            printable_lines(f"  {_name(conflict)} differs: ours stays for now."),
            *_versions(conflict),
            sep="\n",
        )
    if brought.open:
        print("  Decide with --keep ours, theirs or both.")
    return TO_DECIDE if brought.open else 0


def _name(conflict: Conflict) -> str:
    name = getattr(conflict.ours, "name", "")
    named = f"“{name}”" if name else f"“{conflict.key}”" if conflict.key != "only" else ""
    return f"{conflict.part.removesuffix('s')} {named}".strip()


def _versions(conflict: Conflict) -> Iterable[str]:
    """The fields in which two versions differ, one line each."""
    ours, theirs = conflict.ours.model_dump(mode="json"), conflict.theirs.model_dump(mode="json")
    for field in ours:
        if ours[field] != theirs[field]:
            yield printable_lines(f"    {field}: ours {_short(ours[field])}; theirs {_short(theirs[field])}")


def _short(value: object, most: int = 90) -> str:
    text = str(value)
    return text if len(text) <= most else f"{text[:most]}…"


def _list(parts: Iterable[str]) -> str:
    return ", ".join(parts)


def _write(path: Path, content: bytes, *, replace: bool) -> None:
    """Whole or not at all: a backup that is there is lost only to a new one that is there."""
    try:
        with disk_faults_of(path):
            if path.exists() and not replace:
                raise Refused(f"“{path}” is there already: name another file, or add --replace.")
            disk.replace_file(path, content, keep_previous=False)
    except (StorageProblem, ValueError) as problem:
        raise Refused(str(problem)) from None


def _read(path: Path) -> Holdings:
    try:
        with disk_faults_of(path), path.open("rb") as file:
            return read_backup(file.read(LARGEST_BACKUP_BYTES + 1), path.name)
    except Unreadable as unreadable:
        raise Refused(
            printable_lines(f"“{path}” cannot be read as a backup: {unreadable.issues[0]}")
        ) from None
    except (StorageProblem, ValueError) as problem:
        raise Refused(str(problem)) from None


def _with_folder(folder: Path, do: Callable[[NativeStore], Coroutine[Any, Any, Found]]) -> Found:
    """Does something as the owner of a data folder, and says what was found damaged on the way."""

    async def doing() -> Found:
        store = NativeStore(folder)
        found = await do(store)
        _say(trouble.message for trouble in await store.troubles())
        return found

    lock = FolderLock(folder)
    try:
        with disk_faults_of(folder):
            disk.make_folder(folder)
        if not lock.take():
            raise StorageProblem(Cause.not_owner)
        return _run(doing())
    except StorageProblem as problem:
        raise Refused(str(problem)) from None
    finally:
        lock.release()


def _run(doing: Coroutine[Any, Any, Found]) -> Found:
    try:
        return asyncio.run(doing)
    except (StorageProblem, AnotherPerson) as problem:
        raise Refused(printable_lines(str(problem))) from None


def _refuse_missing(folder: Path) -> None:
    if not os.path.isdir(folder):  # noqa: PTH112 - Path.is_dir raises on odd names
        raise Refused(f"There is no folder “{folder}”.")


def _say(sentences: Iterable[str]) -> None:
    for sentence in sentences:
        print(printable_lines(sentence), file=sys.stderr)
