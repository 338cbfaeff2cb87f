"""Merges through a folder that several devices can reach, however it is carried between them.

Each device writes one file there, named after its data folder, and reads all files. So no two devices write
the same file, and it does not matter which comes first. A file also names what the person decided against, so
that each question is asked once.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from engine.base.issue import Unreadable
from storage.exchange.backup import (
    DECLINED,
    LARGEST_BACKUP_BYTES,
    Holdings,
    gather,
    holdings_in,
    tables_in,
    write_backup,
)
from storage.exchange.bring_in import BroughtIn, bring_in
from storage.exchange.merge import Keep, ids_in, ids_of_one_person, union, without_revisions
from storage.files import disk
from storage.folder.store import FolderStore
from storage.problem import disk_faults_of
from storage.schema import Tables


class Merged(NamedTuple):
    """The names of the files read, what was brought in from them, and in sentences what was left out."""

    files: tuple[str, ...]
    brought: BroughtIn
    left_out: tuple[str, ...]


async def merge_through(
    store: FolderStore, shared_folder: Path, *, keep: Keep | None = None, same_person: bool = False
) -> Merged:
    """Brings in what every device wrote, then writes what this one holds now. Raises StorageProblem."""
    own = shared_folder / f"device-{store.device()}.json"
    left_out: list[str] = []
    files = dict(_files(shared_folder, left_out))
    before, declined = files.pop(own.name, (Holdings(), {}))
    ours = (await gather(store)).holdings
    known = ids_of_one_person(ours, [holdings for holdings, _ in files.values()])
    for name, (theirs, _) in list(files.items()):
        if not same_person and known.isdisjoint(ids_in(theirs)) and theirs.profiles:
            other = theirs.profiles[0].name
            left_out.append(f"“{name}” was left out: it holds the records of another person, {other}.")
            del files[name]
    # Our own file is brought in too: a copy of this data folder may have written it on another device.
    happened = before._replace(profiles=(), kits=(), plans=(), week_notes=())
    theirs = union(happened, *(holdings for holdings, _ in files.values()))
    theirs = without_revisions(theirs, store.removed())
    brought = await bring_in(store, theirs, keep=keep, same_person=True, declined=declined)
    if keep is not Keep.theirs:
        declined = {**declined, **{one.revision: {} for one in brought.decided}}
    gathered = await gather(store)
    with disk_faults_of(own):
        content = write_backup(gathered.holdings, more={DECLINED: declined})
        disk.replace_file(own, content, keep_previous=False)
    return Merged(tuple(files), brought, (*left_out, *gathered.left_out))


def _files(shared_folder: Path, left_out: list[str]) -> Iterator[tuple[str, tuple[Holdings, Tables]]]:
    for path in sorted(shared_folder.glob("device-*.json")):
        with disk_faults_of(path), path.open("rb") as file:
            content = file.read(LARGEST_BACKUP_BYTES + 1)
        try:
            tables = tables_in(content, path.name)
            yield path.name, (holdings_in(tables), tables.get(DECLINED, {}))
        except Unreadable as unreadable:
            left_out.append(f"“{path.name}” was left out: {unreadable.issues[0]}")
