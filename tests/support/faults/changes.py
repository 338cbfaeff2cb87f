"""Every change of the store in a folder, what is there before it, and what may be there after a fault."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

import builders
from builders import STARTED_AT

from engine.live.events import EVENTS
from engine.movements.movement import Kit
from engine.record.amendment import Amendment
from engine.record.history import history_of
from engine.record.noted_pain import NotedPain
from engine.today.said import SaidToday
from storage.derived import last_loads, weekly_figures
from storage.exchange.backup import PARTS, Holdings, gather, write_backup
from storage.exchange.bring_in import bring_in
from storage.exchange.device_files import DeviceFile, DiskFolder
from storage.exchange.restore import replace_all
from storage.exchange.shared_folder import merge_through
from storage.folder.running_file import RUNNING_NAME
from storage.folder.store import FolderStore
from storage.models import KitOwned, SavedDraft, Settings, Tombstone, WeekNote
from storage.store import Store, amended_records

SECRET, PAIN_SECRET = "my-own-business", "my-own-pain"
LATER = STARTED_AT + timedelta(days=1)
RUN = builders.journal()
SECOND = EVENTS.validate_python(
    {
        "kind": "mark",
        "seq": 2,
        "id": "event-2",
        "session_ms": 1_000,
        "wall": LATER,
        "segment_id": "circuit:get-ready",
    }
)
OTHER_DEVICE = "00000000-0000-4000-8000-000000000002"


def record(number: int, note: str = "") -> Any:
    started_at = STARTED_AT + timedelta(days=number)
    return builders.record(record_id=f"record-{number}", started_at=started_at, effort=6, note=note)


def amendment(number: int = 1) -> Amendment:
    return Amendment(id="late", record_id=f"record-{number}", at=LATER, field="note", value="Late. " * 40)


def noted(note_id: str = "pain-note-1", words: str | None = None) -> NotedPain:
    pain = {"kind": "joint", "joint": "knee", "side": "left", "rating": 3, "words": words}
    day = {"at": LATER, "local_date": LATER.date(), "trainee_id": builders.profile().trainee_id}
    return NotedPain.model_validate({"id": note_id, **day, **pain})


ADJUSTMENT = builders.adjustment()
THEIRS = Holdings(
    profiles=(builders.profile(),),
    kits=(KitOwned(dumbbells=Kit.single),),
    plans=(builders.plan(id="their-plan"),),
    records=(record(3), record(20), record(30)),
    amendments=(amendment(20),),
    tombstones=(Tombstone(record_id="record-1", erased_at=LATER),),
    week_notes=(WeekNote(iso_week="2026-W11"),),
    adjustments=(ADJUSTMENT,),
    pain_notes=(noted("their-note"),),
)
"""What another device or a backup holds: one session of ours, two of its own, one of ours erased."""


async def _save_and_close(store: Store, _: Path) -> None:
    await store.sessions.save(builders.record(record_id=RUN.record().run_id, started_at=STARTED_AT))
    await store.run.close()


async def _replace(store: Store, _: Path) -> None:
    assert isinstance(store, FolderStore)
    await replace_all(store, THEIRS)


Change = Callable[[Store, Path], Awaitable[object]]
"""A change of a store, beside the folder that several devices share."""
CHANGES: dict[str, Change] = {
    "the first profile": lambda store, _: store.person.save_profile(builders.profile()),
    "the first kit": lambda store, _: store.person.save_kit(KitOwned()),
    "the first session": lambda store, _: store.sessions.save(record(1)),
    "another session": lambda store, _: store.sessions.save(record(9)),
    "a growing session": lambda store, _: store.sessions.amend(amendment()),
    "growing plans": lambda store, _: store.plans.save(builders.plan(id="another-plan")),
    "another kit": lambda store, _: store.person.save_kit(
        KitOwned(dumbbells=Kit.pair, absent=("wall", "bench"))
    ),
    "shrinking plans": lambda store, _: store.plans.remove("test-plan"),
    "a shrinking kit": lambda store, _: store.person.save_kit(KitOwned()),
    "settings": lambda store, _: store.person.save_settings(Settings(haptic=False)),
    "today": lambda store, _: store.person.save_said_today(SaidToday(local_date=LATER.date(), said_at=LATER)),
    "a draft": lambda store, _: store.plans.save_draft(SavedDraft(id="new-plan", content={"id": "new-plan"})),
    "a note on a week": lambda store, _: store.person.save_week_note(WeekNote(iso_week="2026-W10")),
    "an adjustment": lambda store, _: store.person.save_adjustment(ADJUSTMENT),
    "a pain note": lambda store, _: store.sessions.save_pain_note(noted("another-note")),
    "an erased session": lambda store, _: store.sessions.erase("record-2", at=LATER),
    "an erased pain note": lambda store, _: store.sessions.erase("pain-note-1", at=LATER),
    "the start of a run": lambda store, _: store.run.open(RUN.record().model_copy(update={"events": ()})),
    "an event": lambda store, _: store.run.append(SECOND),
    "the end of a run": lambda store, _: store.run.close(),
    "weeks that are counted again": lambda store, _: store.sessions.history(),
    "a session saved and its run closed": _save_and_close,
    "everything erased": lambda store, _: store.erase_all(at=LATER),
    "everything replaced": _replace,
    "a backup brought in": lambda store, _: bring_in(store, THEIRS),
    "a merge": lambda store, shared: merge_through(store, DiskFolder(shared)),
}
SEVERAL = (
    "shrinking plans",
    "an erased session",
    "an erased pain note",
    "a session saved and its run closed",
    "everything erased",
    "everything replaced",
    "a backup brought in",
    "a merge",
)
"""Changes of several documents: after a fault some are old and some are new."""
ERASED_WORDS = {
    "an erased session": (SECRET,),
    "an erased pain note": (PAIN_SECRET,),
    "everything erased": (SECRET, PAIN_SECRET),
}
FOLDER_ONLY = ("everything replaced",)
EMPTY = ("the first profile", "the first kit", "the first session")
NO_RUN = ("the start of a run",)


class State(NamedTuple):
    """What a new start finds: what a backup holds, what it leaves out, and the session in progress."""

    holdings: Holdings
    device: tuple[Any, ...]
    run: Any


async def seen(store: Store, *, may_be_torn: bool = False) -> State:
    """What a new start finds, after a check: nothing is damaged, and figures agree with a full recount.

    Of a torn line of the running record, which nobody was told is saved, it may be told.
    """
    gathered = await gather(store)
    assert gathered.left_out == ()
    records, amendments = await amended_records(store), await store.sessions.amendments_in()
    assert await store.sessions.week_index() == weekly_figures(records)
    assert await store.sessions.last_loads() == last_loads(records)
    assert await store.sessions.history() == history_of(records, amendments)
    device = await store.person.settings(), await store.person.said_today(), await store.plans.drafts()
    run = await store.run.read()
    told = await store.troubles()
    assert told == () or (may_be_torn and [one.where for one in told] == [RUNNING_NAME])
    return State(gathered.holdings, device, run)


async def prepared(store: Store, shared: Path, name: str) -> None:
    """Makes what is there before a change, in a store and in the folder that devices share."""
    if name in EMPTY:
        return
    await store.person.save_profile(builders.profile())
    await store.person.save_kit(KitOwned(absent=("wall",)))
    await store.plans.save(builders.plan())
    await store.sessions.save_pain_note(noted(words=PAIN_SECRET))
    for number in (1, 2):
        await store.sessions.save(record(number, note=SECRET if number == 2 else ""))
    await store.sessions.history()
    await store.sessions.save(record(3))
    await store.device()
    (shared / DeviceFile(OTHER_DEVICE, "").name).write_bytes(write_backup(THEIRS))
    if name not in NO_RUN:
        await store.run.open(RUN.record().model_copy(update={"events": ()}))
        await store.run.append(RUN.events[0])


def is_between(old: State, found: State, new: State) -> bool:
    """Whether each document is the old or the new one, and those that both have are there."""
    parts = zip(PARTS, old.holdings, found.holdings, new.holdings, strict=True)
    return (
        all(_part_is_between(PARTS[name][1], *three) for name, *three in parts)
        and found.device in (old.device, new.device)
        and found.run in (old.run, new.run)
    )


def _part_is_between(
    key: Callable[[Any], str], old: Iterable[Any], found: Iterable[Any], new: Iterable[Any]
) -> bool:
    before, now, after = ({key(one): one for one in part} for part in (old, found, new))
    known = all(one in (before.get(name), after.get(name)) for name, one in now.items())
    return known and before.keys() & after.keys() <= now.keys()


def is_each_session_there(old: State, found: State) -> bool:
    """Whether each session and pain note of before is there, or says that it was erased."""
    stones = {stone.record_id for stone in found.holdings.tombstones}
    before = *old.holdings.records, *old.holdings.pain_notes
    now = *found.holdings.records, *found.holdings.pain_notes
    return all(one in now or one.id in stones for one in before)


def erased_words_left(name: str, folder: Path) -> list[str]:
    """The words that a change should have erased, where a file still holds them."""
    kept = b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())
    return [word for word in ERASED_WORDS.get(name, ()) if word.encode() in kept]
