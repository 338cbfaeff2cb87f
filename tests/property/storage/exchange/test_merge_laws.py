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
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.movements.movement import Kit
from engine.record.amendment import Amendment
from storage.exchange.backup import Holdings, gather
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
