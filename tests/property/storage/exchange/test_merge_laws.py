"""A merge is a union: order, repetition and grouping do not matter."""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Sequence
from datetime import timedelta
from itertools import permutations
from pathlib import Path

import builders
from builders import STARTED_AT
from copies_in_hand import FolderInHand
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.base.periods import month_of
from engine.movements.movement import Kit
from engine.record.amendment import Amendment
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import Holdings, gather, read_backup, write_backup
from storage.exchange.bring_in import bring_in
from storage.exchange.device_files import DiskFolder
from storage.exchange.merge import Keep, both_kits, union
from storage.exchange.shared_folder import merge_through
from storage.folder.store import FolderStore
from storage.models import KitOwned, Tombstone

BASE = builders.record()
IDS = ("a-record", "b-record", "c-record")


def record(record_id: str, note: str = "") -> object:
    return BASE.model_copy(update={"id": record_id, "note": note})


records = st.builds(record, st.sampled_from(IDS), st.sampled_from(("", "another note")))
amendments = st.builds(
    lambda record_id, number: Amendment(
        id=f"{record_id}-{number}", record_id=record_id, at=STARTED_AT, field="note", value=str(number)
    ),
    st.sampled_from(IDS),
    st.integers(0, 2),
)
stones = st.builds(
    lambda record_id, days: Tombstone(record_id=record_id, erased_at=STARTED_AT + timedelta(days=days)),
    st.sampled_from(IDS),
    st.integers(0, 2),
)
kits = st.builds(lambda kit: KitOwned(dumbbells=kit), st.sampled_from(Kit))
plans = st.builds(lambda name: builders.plan(name=name), st.sampled_from(("One", "Two")))
notes = st.builds(lambda note_id: builders.noted_pain(id=note_id), st.sampled_from(IDS))
holdings = st.builds(
    lambda noted, *parts: union(Holdings((), *map(tuple, parts), pain_notes=tuple(noted))),
    *(st.lists(part, max_size=4) for part in (notes, kits, plans, records, amendments, stones)),
)


@given(holdings, holdings)
def test_the_order_of_two_does_not_matter(one: Holdings, other: Holdings) -> None:
    """Law: union(a, b) = union(b, a)."""
    assert union(one, other) == union(other, one)


@given(holdings, holdings, holdings)
def test_the_grouping_does_not_matter(one: Holdings, two: Holdings, three: Holdings) -> None:
    """Law: union(union(a, b), c) = union(a, union(b, c)) = union(a, b, c)."""
    assert union(union(one, two), three) == union(one, union(two, three)) == union(one, two, three)


@given(holdings, holdings)
def test_once_is_as_good_as_twice(one: Holdings, other: Holdings) -> None:
    """Law: union(a, a) = a, and union(union(a, b), b) = union(a, b)."""
    together = union(one, other)
    assert union(one, one) == one
    assert union(together, other) == together


@given(holdings, holdings)
def test_nothing_is_lost_and_nothing_erased_comes_back(one: Holdings, other: Holdings) -> None:
    """Law: what either holds is in the union, unless its record was erased in either."""
    together = union(one, other)
    gone = {stone.record_id for side in (one, other) for stone in side.tombstones}
    assert {stone.record_id for stone in together.tombstones} == gone
    assert {record.id for record in together.records}.isdisjoint(gone)
    for side in (one, other):
        assert all(plan in together.plans for plan in side.plans)
        kept = [record for record in side.records if record.id not in gone]
        assert all(record in together.records for record in kept)
        assert all(note in together.pain_notes for note in side.pain_notes if note.id not in gone)
    assert {note.id for note in together.pain_notes}.isdisjoint(gone)


@given(kits, kits)
def test_the_kits_of_two_places_together_do_not_depend_on_the_order(one: KitOwned, other: KitOwned) -> None:
    """Law: both(a, b) = both(b, a), and both(a, a) has the loads of a."""
    assert both_kits(one, other) == both_kits(other, one)
    assert both_kits(one, one).rack.loads_g(1) == one.rack.loads_g(1)


@settings(max_examples=5, deadline=None)
@given(
    st.lists(st.lists(st.tuples(st.sampled_from(IDS), st.booleans()), max_size=3), min_size=3, max_size=3),
    st.permutations(range(3)),
)
def test_three_devices_end_alike_whoever_merges_first(
    told: list[list[tuple[str, bool]]], order: Sequence[int]
) -> None:
    """Law: once each device has merged twice, in any order, all hold the union of what they held."""

    async def check(folder: Path) -> None:
        (folder / "shared").mkdir()
        devices = [FolderStore(folder / f"device-{number}") for number in range(3)]
        for device, steps in zip(devices, told, strict=True):
            for record_id, erase in steps:
                await device.sessions.save(BASE.model_copy(update={"id": record_id}))
                if erase:
                    await device.sessions.erase(record_id, at=STARTED_AT)
        before = union(*[(await gather(device)).holdings for device in devices])
        for number in (*order, *order):
            await merge_through(devices[number], DiskFolder(folder / "shared"))
        for device in devices:
            assert (await gather(device)).holdings == before

    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(check(Path(folder)))


def test_the_permutations_of_a_conflict_leave_every_version_somewhere() -> None:
    """Law: with three kits, in any order, no device's kit is replaced without an answer."""

    async def check(folder: Path, order: Sequence[int]) -> None:
        (folder / "shared").mkdir()
        devices = [FolderStore(folder / f"device-{number}") for number in range(3)]
        for device, kit in zip(devices, Kit, strict=True):
            await device.person.save_kit(KitOwned(dumbbells=kit))
        for number in (*order, *order):
            await merge_through(devices[number], DiskFolder(folder / "shared"))
        assert [(await device.person.kit()) for device in devices] == [KitOwned(dumbbells=kit) for kit in Kit]
        await merge_through(devices[0], DiskFolder(folder / "shared"), keep=Keep.ours)
        merged = await merge_through(devices[0], DiskFolder(folder / "shared"))
        assert (len(merged.files), merged.brought.open) == (2, ()), "it is asked once"

    for order in permutations(range(3)):
        with tempfile.TemporaryDirectory() as folder:
            asyncio.run(check(Path(folder), order))


MONTHS_APART = {"a-record": 0, "b-record": 40, "c-record": 80}
told = st.tuples(st.integers(0, 2), st.sampled_from(("save", "amend", "erase")), st.sampled_from(IDS))
carried = st.tuples(st.integers(0, 2), st.sampled_from(("folder", "file")), st.integers(0, 2))


class Carried:
    """Devices of one person, and a folder into which each writes only the months that changed."""

    def __init__(self) -> None:
        self.devices = [BrowserStore(MemoryShelves()) for _ in range(3)]
        self.folders = [FolderInHand()]
        self.folders += [self.folders[0].on_another_device() for _ in range(2)]
        for folder in self.folders:
            folder.allowed = True
        self.known: list[dict[str, str]] = [{}, {}, {}]
        self.months = [set[str](), set[str](), set[str]()]
        self.told = Holdings()

    async def tell(self, number: int, what: str, record_id: str) -> None:
        """Something happens on one device."""
        sessions, started_at = self.devices[number].sessions, STARTED_AT + timedelta(MONTHS_APART[record_id])
        if what == "save":
            await sessions.save(builders.record(record_id=record_id, started_at=started_at))
        elif what == "amend" and await sessions.record(record_id) is not None:
            late = {"id": f"{number}-{record_id}", "at": started_at, "field": "note", "value": str(number)}
            await sessions.amend(Amendment(record_id=record_id, **late))
        elif what == "erase":
            await sessions.erase(record_id, at=started_at)  # each device keeps the moment of its own erasing
        self.months[number].add(month_of(started_at.date()))
        self.told = union(self.told, (await gather(self.devices[number])).holdings)

    async def carry(self, number: int, by: str, source: int) -> None:
        """A device takes in another one's backup, or merges through the folder."""
        device = self.devices[number]
        if by == "file":
            content = write_backup((await gather(self.devices[source])).holdings)
            brought = await bring_in(device, read_backup(content, "backup"))
            changed = (*brought.added.records, *brought.gone.records)
            self.months[number] |= {month_of(one.local_date) for one in changed}
            return
        known, months = self.known[number], self.months[number]
        merged = await merge_through(device, self.folders[number], known=known, months=months)
        self.known[number], self.months[number] = dict(merged.stamps), set()
        assert merged.unread == ()

    async def all_hold(self) -> list[Holdings]:
        return [(await gather(device)).holdings for device in self.devices]


@settings(max_examples=40, deadline=None)
@given(st.lists(told | carried, max_size=16), st.permutations(range(3)))
def test_it_does_not_matter_how_and_in_which_order_it_travels(
    steps: list[tuple[int, str, str | int]], order: Sequence[int]
) -> None:
    """Law: whatever happened on three devices and was carried by file or by folder on the way, once each has
    merged twice through the folder, in any order, all hold the union of what they ever held; and once more
    changes nothing."""

    async def check() -> None:
        world = Carried()
        for number, what, which in steps:
            await (world.tell if isinstance(which, str) else world.carry)(number, what, which)  # type: ignore
        for number in (*order, *order):
            await world.carry(number, "folder", number)
        assert await world.all_hold() == [world.told] * 3
        before = dict(world.folders[0].files)
        for number in order:
            await world.carry(number, "folder", number)
        assert world.folders[0].files == before
        new = BrowserStore(MemoryShelves())
        for name in sorted(before, reverse=True):
            await bring_in(new, read_backup(before[name], name), same_person=True)
        assert (await gather(new)).holdings == world.told, "the files alone bring all of it back"

    asyncio.run(check())
