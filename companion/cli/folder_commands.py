"""What backup, restore, merge and erase do."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from datetime import datetime
from functools import partial
from pathlib import Path

from companion.cli.data_folder import change_folder, file_as, refuse_missing, run, warn
from companion.cli.refused import Refused, is_there_already
from companion.services.clock import SystemClock
from companion.style.held import conflict_words, held_words
from companion.words.differing import differing
from companion.words.faults import why
from companion.words.saying import msgid, say, several
from engine.base.printable import printable_lines
from storage.exchange.backup import (
    LARGEST_BACKUP_BYTES,
    Holdings,
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
NO_BACKUP = msgid("“{file}” cannot be read as a backup. {fault}")
KEEPING = {keep: f"--keep {keep}" for keep in ("ours", "theirs", "both")}


def back_up(options: argparse.Namespace) -> int:
    """Writes everything into one file, and says what cannot be read and is left out."""
    folder: Path = options.folder
    refuse_missing(folder)
    gathered = run(gather(FolderStore(folder, may_write=lambda: False)))
    _write_backup(Path(options.out), write_backup(gathered.holdings), replace=options.replace)
    warn(gathered.left_out)
    print(say("{file}: {held}.", file=options.out, held=held_words(gathered.holdings)))
    return 0


def restore(options: argparse.Namespace) -> int:
    """Adds what a backup holds, or replaces everything with it; says first what would go."""
    holdings = _backup_in(options.file)
    if options.replace:
        change_folder(options.folder, lambda store: _replace(store, holdings, may_lose=options.yes))
        names = {"folder": str(options.folder), "file": str(options.file)}
        print(say("{folder} now holds what “{file}” holds: {held}.", **names, held=held_words(holdings)))
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
        raise Refused(
            say("You would lose: {lost}. To do it, add {option}.", lost=held_words(lost), option="--yes")
        )
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
        print(say("No other device of this person has written there yet."))
    return _tell(str(options.shared_folder), merged.brought)


def erase(options: argparse.Namespace) -> int:
    """Erases one session or everything, and says what is gone."""
    refuse_missing(options.folder)
    _refuse_foreign(options.folder)
    now = SystemClock().now().replace(microsecond=0)
    if options.all:
        erased = change_folder(options.folder, lambda store: store.erase_all(at=now))
        print(
            several(
                "Erased: {count} session, profile, kit, plans and any session in progress.",
                "Erased: {count} sessions, profile, kit, plans and any session in progress.",
                len(erased),
            )
        )
        for key in keys_in(options.folder)[1:]:
            theirs = str(folder_of(options.folder, key))
            print(say("Somebody else trains here too, whose records stay: {folder}", folder=theirs))
    else:
        print(change_folder(options.folder, lambda store: _erase_one(store, options.record_id, now)))
    print(
        say(
            "Only ids stay, so that no merge brings anything back. Backups, pages and what other devices "
            "wrote before still hold what they held: delete them, or merge each device again."
        )
    )
    return 0


def _refuse_foreign(folder: Path) -> None:
    """Refuses a folder without a file of ours before anything is written in it, even a lock."""
    try:
        refuse_what_is_not_ours(folder)
    except StorageProblem as problem:
        raise Refused(printable_lines(why(problem))) from None


async def _erase_one(store: FolderStore, erased_id: str, at: datetime) -> str:
    """Erases a session or a pain note, and says what it was."""
    record = await store.sessions.record(erased_id)
    note = next((one for one in await store.sessions.pain_notes() if one.id == erased_id), None)
    await store.sessions.erase(erased_id, at=at)
    if record is not None:
        await let_wait(store, (record,))
        return say("Erased: the session of {day:date} and what was added to it.", day=record.local_date)
    if note is None:
        return say("There was nothing with this id.")
    return say("Erased: the pain note of {day:date}.", day=note.local_date)


def _tell(name: str, brought: BroughtIn) -> int:
    """Says what a file brought; returns the exit code."""
    new = brought.added._replace(tombstones=())
    if any(new) or not any(brought.gone):
        held = held_words(new) if any(new) else say("nothing new")
        print(say("{file}: {held}.", file=name, held=held))
    if any(brought.gone):
        print(say("{file}: now erased here too: {erased}.", file=name, erased=held_words(brought.gone)))
    if any(brought.stays_erased):
        erased = held_words(brought.stays_erased)
        print(f"  {say('Erased here before, so left out: {erased}.', erased=erased)}")
    if any(brought.spared):
        print(f"  {say('Erased where it was made, still here: {held}.', held=held_words(brought.spared))}")
        print(f"  {say('To erase it here too, add {option}.', option='--erase')}")
    for conflict in brought.open:
        print(f"  {conflict_words(conflict)}", *_versions(conflict), sep="\n")
    if brought.open:
        print(f"  {say('To decide, add {ours}, {theirs} or {both}.', **KEEPING)}")
    return TO_DECIDE if brought.open or any(brought.spared) else 0


def _versions(conflict: Conflict) -> Iterable[str]:
    """What differs in two versions, one line each."""
    for what, ours, theirs in differing(conflict.ours, conflict.theirs):
        said = say(
            "{what}: ours {ours}; theirs {theirs}", what=what, ours=_short(ours), theirs=_short(theirs)
        )
        yield f"    {said}"


def _short(text: str) -> str:
    return text if len(text) <= MOST_OF_A_FIELD else f"{text[:MOST_OF_A_FIELD]}…"


def _write_backup(path: Path, content: bytes, *, replace: bool) -> None:
    """Writes the whole file or nothing: an old backup goes only when the new one is complete."""
    try:
        with disk_faults_of(path):
            if path.exists() and not replace:
                raise Refused(is_there_already(str(path)))
            disk.replace_file(path, content, keep_previous=False)
    except (StorageProblem, ValueError) as problem:
        raise Refused(why(problem)) from None


def _backup_in(path: Path) -> Holdings:
    read = partial(read_backup, name=path.name)
    return file_as(NO_BACKUP, path, read, most_bytes=LARGEST_BACKUP_BYTES)
