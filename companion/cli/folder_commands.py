"""What backup, restore, merge and erase do."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from datetime import datetime
from functools import partial
from pathlib import Path

from companion.cli.data_folder import change_folder, file_as, refuse_missing, run, warn
from companion.cli.refused import Refused
from companion.services.clock import SystemClock
from engine.base.phrases import number_of
from engine.base.printable import printable_lines
from storage.exchange.backup import (
    LARGEST_BACKUP_BYTES,
    Holdings,
    counts_in_words,
    gather,
    read_backup,
    write_backup,
)
from storage.exchange.bring_in import BroughtIn, bring_in
from storage.exchange.device_files import DiskFolder, let_wait
from storage.exchange.merge import Conflict, Keep
from storage.exchange.restore import lost_by_replacing, replace_all
from storage.exchange.shared_folder import merge_through
from storage.files import disk
from storage.folder.erase import refuse_what_is_not_ours
from storage.folder.location import folder_of, keys_in
from storage.folder.store import FolderStore
from storage.problem import StorageProblem, disk_faults_of

TO_DECIDE = 1
"""The exit code when two versions of something wait for an answer."""
MOST_OF_A_FIELD = 90


def back_up(options: argparse.Namespace) -> int:
    """Writes everything into one file, and says what cannot be read and is left out."""
    folder: Path = options.folder
    refuse_missing(folder)
    gathered = run(gather(FolderStore(folder, may_write=lambda: False)))
    _write_backup(Path(options.out), write_backup(gathered.holdings), replace=options.replace)
    warn(gathered.left_out)
    print(f"{options.out}: {', '.join(counts_in_words(gathered.holdings))}.")
    return 0


def restore(options: argparse.Namespace) -> int:
    """Adds what a backup holds, or replaces everything with it; says first what would go."""
    holdings = _backup_in(options.file)
    if options.replace:
        change_folder(options.folder, lambda store: _replace(store, holdings, may_lose=options.yes))
        held = ", ".join(counts_in_words(holdings))
        print(printable_lines(f"{options.folder} now holds what “{options.file}” holds: {held}."))
        return 0
    keep = Keep(options.keep) if options.keep else None
    brought = change_folder(
        options.folder, lambda store: _bring_in(store, holdings, keep=keep, erase=options.erase)
    )
    return _tell(str(options.file), brought)


async def _bring_in(store: FolderStore, holdings: Holdings, *, keep: Keep | None, erase: bool) -> BroughtIn:
    brought = await bring_in(store, holdings, keep=keep, erase=erase)
    await let_wait(store, (*brought.added.records, *brought.gone.records))
    return brought


async def _replace(store: FolderStore, holdings: Holdings, *, may_lose: bool) -> None:
    ours = (await gather(store)).holdings
    lost = lost_by_replacing(ours, holdings)
    if any(lost) and not may_lose:
        raise Refused(f"This would take away {', '.join(counts_in_words(lost))}: add --yes to let them go.")
    await replace_all(store, holdings)
    await let_wait(store, (*ours.records, *holdings.records))


def merge(options: argparse.Namespace) -> int:
    """Takes in what other devices wrote in a shared folder, and writes there what this one holds."""
    refuse_missing(options.folder)
    refuse_missing(options.shared_folder)
    merged = change_folder(
        options.folder,
        lambda store: merge_through(
            store,
            DiskFolder(options.shared_folder),
            keep=Keep(options.keep) if options.keep else None,
            same_person=options.same_person,
        ),
    )
    warn(merged.left_out)
    if not merged.files:
        print("No other device of this person has written there yet.")
    return _tell(str(options.shared_folder), merged.brought)


def erase(options: argparse.Namespace) -> int:
    """Erases one session or everything, and says what is gone."""
    refuse_missing(options.folder)
    _refuse_foreign(options.folder)
    now = SystemClock().now().replace(microsecond=0)
    if options.all:
        erased = change_folder(options.folder, lambda store: store.erase_all(at=now))
        print(f"Gone: {number_of(len(erased), 'session')}, profile, kit, plans and any session in progress.")
        for key in keys_in(options.folder)[1:]:
            print(f"Somebody else trains here too, whose records stay: {folder_of(options.folder, key)}")
    else:
        told = change_folder(options.folder, lambda store: _erase_one(store, options.record_id, now))
        print(f"Gone: {told}.")
    print(
        "Only ids stay, so that no merge brings them back. Backups, pages and what other devices wrote "
        "before still hold what they held: delete them, or merge each device again."
    )
    return 0


def _refuse_foreign(folder: Path) -> None:
    """Refuses a folder without a file of ours before anything is written in it, even a lock."""
    try:
        refuse_what_is_not_ours(folder)
    except StorageProblem as problem:
        raise Refused(printable_lines(str(problem))) from None


async def _erase_one(store: FolderStore, erased_id: str, at: datetime) -> str:
    """Erases a session or a pain note; returns what it was, in words."""
    record = await store.sessions.record(erased_id)
    note = next((one for one in await store.sessions.pain_notes() if one.id == erased_id), None)
    await store.sessions.erase(erased_id, at=at)
    if record is not None:
        await let_wait(store, (record,))
        return f"the session of {record.local_date} and what was added to it"
    return f"the pain note of {note.local_date}" if note else "nothing was here"


def _tell(name: str, brought: BroughtIn) -> int:
    """Says what a file brought; returns the exit code."""
    new = brought.added._replace(tombstones=())
    gone = [f"{count} erased" for count in counts_in_words(brought.gone)]
    print(f"{printable_lines(name)}: {', '.join([*counts_in_words(new), *gone]) or 'nothing new'}.")
    if any(brought.stays_erased):
        print(f"  Erased here before, so left out: {_listed(brought.stays_erased)}.")
    if any(brought.spared):
        print(f"  Erased where it was made, still here: {_listed(brought.spared)}.")
        print("  Erase here too with --erase.")
    for conflict in brought.open:
        print(
            printable_lines(f"  {conflict.named} differs: ours stays for now."),
            *_versions(conflict),
            sep="\n",
        )
    if brought.open:
        print("  Decide with --keep ours, theirs or both.")
    return TO_DECIDE if brought.open or any(brought.spared) else 0


def _listed(holdings: Holdings) -> str:
    return ", ".join(counts_in_words(holdings))


def _versions(conflict: Conflict) -> Iterable[str]:
    """The fields in which two versions differ, one line each."""
    ours, theirs = conflict.ours.model_dump(mode="json"), conflict.theirs.model_dump(mode="json")
    for field in ours:
        if ours[field] != theirs[field]:
            yield printable_lines(f"    {field}: ours {_short(ours[field])}; theirs {_short(theirs[field])}")


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= MOST_OF_A_FIELD else f"{text[:MOST_OF_A_FIELD]}…"


def _write_backup(path: Path, content: bytes, *, replace: bool) -> None:
    """Writes the whole file or nothing: an old backup goes only when the new one is complete."""
    try:
        with disk_faults_of(path):
            if path.exists() and not replace:
                raise Refused(f"“{path}” is there already: name another file, or add --replace.")
            disk.replace_file(path, content, keep_previous=False)
    except (StorageProblem, ValueError) as problem:
        raise Refused(str(problem)) from None


def _backup_in(path: Path) -> Holdings:
    read = partial(read_backup, name=path.name)
    return file_as("a backup", path, read, most_bytes=LARGEST_BACKUP_BYTES)
