"""Merges through a folder that several devices can reach, however it is carried between them.

Each device writes its own files there (storage/exchange/device_files.py) and reads all of them. So no two
devices write the same file, and it does not matter which comes first. A device also writes what its person
decided against, so that each question is asked once.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NamedTuple

from engine.base.issue import Unreadable
from engine.base.message import Message, Said, message
from engine.base.periods import month_of
from engine.record.profile import Profile
from storage.exchange.backup import Holdings, gather
from storage.exchange.bring_in import BroughtIn, bring_in
from storage.exchange.device_files import (
    DeviceFile,
    FileFolder,
    Part,
    device_file,
    months_with_sessions,
    own_part,
    part_in,
    write_month,
    write_rest,
)
from storage.exchange.merge import Keep, ids_in, ids_of_one_person, union, without_revisions
from storage.problem import named
from storage.store import Store


class Merged(NamedTuple):
    """What a merge did.

    ``files`` are the names of the other devices' files that were read, ``brought`` is what they brought, and
    ``unread`` says what could not be read. ``strangers`` are the people by whom other files are,
    by the name of the file. ``stamps`` are those of all files that need not be read again while they stay as
    they are.
    """

    files: tuple[str, ...]
    brought: BroughtIn
    unread: Said
    stamps: Mapping[str, str]
    strangers: Mapping[str, Profile]

    @property
    def left_out(self) -> Said:
        """All that was left out."""
        others = [
            message("file_of_somebody_else", file=named(name), name=named(person.name))
            for name, person in self.strangers.items()
        ]
        return (*others, *self.unread)


class _Found(NamedTuple):
    """What one device wrote since it was last read, by the name of the file."""

    parts: dict[str, Part]
    unread: Said = ()


async def merge_through(
    store: Store,
    folder: FileFolder,
    *,
    keep: Keep | None = None,
    answers: Mapping[str, Keep] | None = None,
    same_person: bool = False,
    not_of: Collection[str] = (),
    known: Mapping[str, str] | None = None,
    months: Collection[str] | None = None,
) -> Merged:
    """Brings in what every device wrote, then writes what this one holds now. Raises StorageProblem.

    ``not_of`` are the ids of others who train on this device: what they wrote is nobody else's.
    ``answers`` decide single conflicts by the revision of theirs, ``keep`` the rest. Files with a stamp of
    ``known`` are not read. ``months`` are those to write besides the ones that change; all where it is None.
    """
    device, stamps = await store.device(), await folder.stamps()
    known, answers = known or {}, answers or {}
    fresh = [name for name, stamp in stamps.items() if known.get(name) != stamp]
    found = await _found(folder, [one for name in fresh if (one := device_file(name))], stamps)
    own = found.pop(device, _Found({}))
    others, strangers = await _of_the_person(store, found, not_of, same_person=same_person)
    declined = (own.parts.get(_rest(device)) or await own_part(folder, _rest(device))).declined
    theirs = without_revisions(_theirs(own, others), await store.removed())
    brought = await bring_in(store, theirs, keep=keep, answers=answers, same_person=True, declined=declined)
    against = [one.revision for one in brought.decided if answers.get(one.revision, keep) is not Keep.theirs]
    read = {name: stamps[name] for one in found.values() for name in one.parts}
    if brought.open:  # they are asked again, so their files are read again
        rests = set(map(_rest, others))
        read = {name: stamp for name, stamp in read.items() if name not in rests}
    wrote, not_written = await _write(
        store, folder, _to_write(months, brought, theirs), {*declined, *against}
    )
    unread = [told for one in (own, *others.values()) for told in one.unread]
    files = tuple(sorted(name for one in others.values() for name in one.parts))
    now = {name: stamp for name, stamp in {**known, **read, **wrote}.items() if name in {*stamps, *wrote}}
    return Merged(files, brought, (*unread, *not_written), now, strangers)


async def _found(
    folder: FileFolder, fresh: Collection[DeviceFile], stamps: Mapping[str, str]
) -> dict[str, _Found]:
    """What each device wrote of these files. The file of everything else tells whose the sessions are."""
    found: dict[str, _Found] = {}
    for device in sorted({one.device for one in fresh}):
        rest = DeviceFile(device, "")
        unread: list[Message] = []
        parts: dict[str, Part] = {}
        for file in sorted({rest, *(one for one in fresh if one.device == device)}):
            if file.name not in stamps:
                unread.append(message("file_not_there_yet", file=named(file.name)))
                continue
            try:
                parts[file.name] = part_in(await folder.read(file.name), file.name)
            except Unreadable:
                unread.append(message("file_unreadable", file=named(file.name)))
        found[device] = _Found(parts if rest.name in parts else {}, tuple(unread))
    return found


async def _of_the_person(
    store: Store, found: Mapping[str, _Found], not_of: Collection[str], *, same_person: bool
) -> tuple[dict[str, _Found], dict[str, Profile]]:
    """The devices of the person whose store this is; and of others, who it is by the name of the file."""
    ours, kept, strangers = (await gather(store, months=())).holdings, dict(found), dict[str, Profile]()
    rests = {device: one.parts[_rest(device)].holdings for device, one in found.items() if one.parts}
    known = ids_of_one_person(ours, list(rests.values()))
    for device, theirs in rests.items():
        if not ids_in(theirs).isdisjoint(not_of):
            del kept[device]
        elif not same_person and known.isdisjoint(ids_in(theirs)) and theirs.profiles:
            strangers[_rest(device)] = theirs.profiles[0]
            del kept[device]
    return kept, strangers


def _rest(device: str) -> str:
    """The name of the file of everything but the sessions."""
    return DeviceFile(device, "").name


def _theirs(own: _Found, others: Mapping[str, _Found]) -> Holdings:
    """What the other devices wrote, and what a copy of this data folder may have written as this device."""
    mine = union(Holdings(), *(part.holdings for part in own.parts.values()))
    mine = mine._replace(profiles=(), kits=(), plans=(), week_notes=())
    return union(mine, *(part.holdings for one in others.values() for part in one.parts.values()))


def _to_write(months: Collection[str] | None, brought: BroughtIn, theirs: Holdings) -> frozenset[str] | None:
    """These months and those in which the merge changed a session."""
    if months is None:
        return None
    changed = {one.id for one in (*brought.added.records, *brought.gone.records)}
    changed |= {one.record_id for one in brought.added.amendments}
    records = (*theirs.records, *brought.gone.records)
    return frozenset({*months, *(month_of(one.local_date) for one in records if one.id in changed)})


async def _write(
    store: Store, folder: FileFolder, months: Collection[str] | None, declined: Collection[str]
) -> tuple[dict[str, str], Said]:
    """Writes these months, or all and those that were written once, and the rest; returns the stamps."""
    device, there, wrote = await store.device(), await folder.stamps(), dict[str, str]()
    if months is None:
        files = [one for name in there if (one := device_file(name)) and one.device == device]
        months = {*(one.month for one in files if one.month), *await months_with_sessions(store)}
    for month in sorted(months):
        wrote |= await write_month(store, folder, month, there=there)
    rest, left_out = await write_rest(store, folder, declined=declined)
    return {**wrote, _rest(device): rest}, left_out
