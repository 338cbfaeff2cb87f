"""Changing a whole data folder: everything in it replaced by a backup, or erased."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from engine.record import Amendment
from storage import disk
from storage.backup import Holdings
from storage.database import NativeStore
from storage.models import Tombstone
from storage.problem import disk_faults_of
from storage.rules import by_time
from storage.sessions import Session, name_of

_KEPT_WHEN_ERASED = ("sessions", "owner.lock")


async def replace_all(store: NativeStore, holdings: Holdings) -> None:
    """Makes a data folder hold what a backup holds and nothing else; a session in progress stays.

    First everything is put there, each session in one step, then the rest is taken away: after a crash the
    same again finishes it. Raises StorageProblem.
    """
    sessions = dict(_sessions(holdings))
    for name, session in sessions.items():
        store.sessions.put(name, session)
    for profile in holdings.profiles:
        await store.save_profile(profile)
    for kit in holdings.kits:
        await store.save_kit(kit)
    await store.replace_plans(holdings.plans)
    await store.replace_week_notes(holdings.week_notes)
    await store.replace_adjustments(holdings.adjustments)
    for name in store.sessions.stamps().keys() - sessions.keys():
        store.sessions.remove(name)
    gone = [name for name, part in (("profile", holdings.profiles), ("kit", holdings.kits)) if not part]
    _remove(store.folder, (path for name in gone for path in store.folder.glob(f"{name}.json*")))


def _sessions(holdings: Holdings) -> Iterator[tuple[str, Session]]:
    amendments: dict[str, list[Amendment]] = {record.id: [] for record in holdings.records}
    for amendment in holdings.amendments:
        amendments[amendment.record_id].append(amendment)
    for record in holdings.records:
        yield name_of(record.id), Session(record, by_time(amendments[record.id]), None)
    for stone in holdings.tombstones:
        yield name_of(stone.record_id), Session(None, (), stone)


async def erase_all(store: NativeStore, *, at: datetime) -> tuple[str, ...]:
    """Erases everything and leaves tombstones alone; returns the ids of the records erased."""
    store.need_ownership()
    erased = []
    for name in sorted(store.sessions.stamps()):
        session = store.sessions.readable(name)
        if session is None or session == Session(None, (), None):
            store.sessions.remove(name)
        elif session.record is not None:
            store.sessions.erase(Tombstone(record_id=session.record.id, erased_at=at))
            erased.append(session.record.id)
    stay = {store.folder / name for name in _KEPT_WHEN_ERASED}
    rest = [path for path in store.folder.rglob("*") if path.is_file() and not stay & {path, *path.parents}]
    _remove(store.folder, [*rest, *_left_behind(store.folder / "sessions")])
    await store.week_index()
    return tuple(erased)


def _left_behind(sessions: Path) -> Iterator[Path]:
    for pattern in (".*.new", ".*.passing", "*.damaged-*"):
        yield from sessions.glob(pattern)


def _remove(folder: Path, paths: Iterator[Path] | list[Path]) -> None:
    with disk_faults_of(folder):
        disk.remove(*paths)
