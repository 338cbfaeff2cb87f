"""Restores a backup in place of everything in a data folder."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from engine.base.model import canonical_json
from engine.record.amendment import Amendment
from storage.exchange.backup import Holdings
from storage.files import disk
from storage.folder.erase import own_files
from storage.folder.session_files import Session, name_of
from storage.folder.store import FolderStore
from storage.problem import disk_faults_of
from storage.rules import by_time


async def replace_all(store: FolderStore, holdings: Holdings) -> None:
    """Makes a data folder hold what a backup holds and nothing else.

    A session in progress, what was said about today and what other programs keep there stay.

    First everything is saved, each session in one step, then the rest is removed. After a crash the same call
    finishes the work. Raises StorageProblem.
    """
    sessions = dict(_sessions(holdings))
    for name, session in sessions.items():
        store.sessions.files.put(name, session)
    for profile in holdings.profiles:
        await store.person.save_profile(profile)
    for kit in holdings.kits:
        await store.person.save_kit(kit)
    await store.plans.replace(holdings.plans)
    await store.person.replace_week_notes(holdings.week_notes)
    await store.person.replace_adjustments(holdings.adjustments)
    await store.sessions.replace_pain_notes(holdings.pain_notes)
    files = store.sessions.files
    kept = [files.path(name).name for name in sessions]
    gone = [
        f"{name}.json" for name, part in (("profile", holdings.profiles), ("kit", holdings.kits)) if not part
    ]
    with disk_faults_of(store.folder):
        ours = tuple(own_files(store.folder))
        disk.remove(*(one.path for one in ours if one.path.parent == store.folder and one.beside.of in gone))
        past = [one for one in ours if one.path.parent == files.folder and one.beside.of not in kept]
    for name in {one.beside.of.removesuffix(".json") for one in past}:
        files.remove(name)


def lost_by_replacing(ours: Holdings, theirs: Holdings) -> Holdings:
    """The documents of ours that ``replace_all`` would take away, or put another version in place of."""
    lost: list[Any] = []
    for mine, coming in zip(ours, theirs, strict=True):
        stay = {canonical_json(one) for one in coming}
        lost.append(tuple(one for one in mine if canonical_json(one) not in stay))
    return Holdings(*lost)._replace(tombstones=())


def _sessions(holdings: Holdings) -> Iterator[tuple[str, Session]]:
    amendments: dict[str, list[Amendment]] = {record.id: [] for record in holdings.records}
    for amendment in holdings.amendments:
        amendments[amendment.record_id].append(amendment)
    for record in holdings.records:
        yield name_of(record.id), Session(record, by_time(amendments[record.id]), None)
    for stone in holdings.tombstones:
        yield name_of(stone.record_id), Session(None, (), stone)
