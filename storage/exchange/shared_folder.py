"""Merging through a folder that several devices can reach, however it is carried between them.

Each device writes one file there, named after its data folder, and reads all: so no two write the same one,
and it does not matter who comes first. A file also says what was decided against, so that it is asked once.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from engine.base.issue import Unreadable
from storage.exchange.backup import (
    LARGEST_BACKUP_BYTES,
    Holdings,
    gather,
    holdings_in,
    tables_in,
    write_backup,
)
from storage.exchange.bring_in import Brought, bring_in
from storage.exchange.merge import Keep, of_another_person, union
from storage.files import disk
from storage.folder.store import NativeStore
from storage.problem import disk_faults_of
from storage.schema import Tables

DECLINED = "declined"


class Merged(NamedTuple):
    """What came from the files of those names, and what was left out, in sentences."""

    files: tuple[str, ...]
    brought: Brought
    left_out: tuple[str, ...]


async def merge_through(
    store: NativeStore, shared: Path, *, keep: Keep | None = None, same_person: bool = False
) -> Merged:
    """Takes in what every device wrote, then writes what there is now. Raises StorageProblem."""
    own = shared / f"device-{store.device()}.json"
    left_out: list[str] = []
    files = dict(_files(shared, left_out))
    before, declined = files.pop(own.name, (Holdings(), {}))
    ours = (await gather(store)).holdings
    for name, (theirs, _) in list(files.items()):
        other = of_another_person(ours, theirs)
        if other is not None and not same_person:
            left_out.append(f"“{name}” was left out: it holds the records of another person, {other.name}.")
            del files[name]
    # Our own file is taken in too: a copied data folder may have written it on another device.
    happened = before._replace(profiles=(), kits=(), plans=(), week_notes=())
    theirs = union(happened, *(holdings for holdings, _ in files.values()))
    brought = await bring_in(store, theirs, keep=keep, same_person=True, declined=declined)
    if keep is not Keep.theirs:
        declined = {**declined, **{one.revision: {} for one in brought.decided}}
    gathered = await gather(store)
    with disk_faults_of(own):
        content = write_backup(gathered.holdings, more={DECLINED: declined})
        disk.replace_file(own, content, keep_previous=False)
    return Merged(tuple(files), brought, (*left_out, *gathered.left_out))


def _files(shared: Path, left_out: list[str]) -> Iterator[tuple[str, tuple[Holdings, Tables]]]:
    for path in sorted(shared.glob("device-*.json")):
        with disk_faults_of(path), path.open("rb") as file:
            content = file.read(LARGEST_BACKUP_BYTES + 1)
        try:
            tables = tables_in(content, path.name)
            yield path.name, (holdings_in(tables), tables.get(DECLINED, {}))
        except Unreadable as unreadable:
            left_out.append(f"“{path.name}” was left out: {unreadable.issues[0]}")
