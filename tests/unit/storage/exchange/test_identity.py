"""One person on several devices: the smallest id is used from now on, and the others stay with it."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import builders
import pytest

from companion.words.saying import all_said, said
from engine.record.profile import MOST_IDS, Profile, under_all_ids
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import Holdings, gather
from storage.exchange.bring_in import AnotherPerson, bring_in
from storage.exchange.device_files import DiskFolder
from storage.exchange.merge import Keep, ids_of_one_person
from storage.exchange.shared_folder import merge_through
from storage.folder.store import FolderStore
from storage.store import Store

IDS = ("a-tablet", "m-phone", "z-laptop")


async def device(trainee_id: str, store: Store | None = None) -> Store:
    """A device on which somebody trained once under this id."""
    made = store or BrowserStore(MemoryShelves())
    await made.person.save_profile(builders.profile(trainee_id=trainee_id))
    record = builders.record(record_id=f"of-{trainee_id}")
    await made.sessions.save(record.model_copy(update={"trainee_id": trainee_id}))
    return made


async def held(store: Store) -> Holdings:
    return (await gather(store)).holdings


def known_as(*ids: str) -> Holdings:
    first, *others = ids
    return Holdings(profiles=(builders.profile(trainee_id=first, also=tuple(others)),))


@pytest.mark.parametrize("order", [*permutations(IDS)])
async def test_devices_become_one_in_any_order_and_no_record_is_rewritten(order: tuple[str, ...]) -> None:
    first, *others = [await device(trainee_id) for trainee_id in order]
    for other in others:
        await bring_in(first, await held(other), same_person=True)
    profile = await first.person.profile()
    assert profile is not None
    assert (profile.trainee_id, profile.also) == (IDS[0], IDS[1:])
    assert {one.id: one.trainee_id for one in await first.sessions.records()} == {
        f"of-{trainee_id}": trainee_id for trainee_id in IDS
    }
    for other in others:  # whoever knows one of the ids is not asked again
        brought = await bring_in(other, await held(first))
        assert brought.open == (), "two ids are no conflict"
        assert await held(other) == await held(first)


async def test_another_id_is_asked_about_and_one_name_makes_no_one_person() -> None:
    here, there = await device("a-tablet"), await device("m-phone")
    with pytest.raises(AnotherPerson) as asked:
        await bring_in(here, await held(there))
    assert said(asked.value.what) == "These records were made by Runa on another device."
    assert [one.id for one in await here.sessions.records()] == ["of-a-tablet"]


async def test_through_a_shared_folder_one_device_tells_of_the_others(tmp_path: Path) -> None:
    """The laptop knows the tablet alone, and learns of the phone from the tablet's file."""
    shared = tmp_path / "shared"
    shared.mkdir()
    tablet, phone, laptop = (FolderStore(tmp_path / name) for name in IDS)
    for store, trainee_id in zip((tablet, phone, laptop), IDS, strict=True):
        await device(trainee_id, store)
    await merge_through(phone, DiskFolder(shared))
    assert "somebody else, Runa" in all_said((await merge_through(tablet, DiskFolder(shared))).left_out)
    await merge_through(tablet, DiskFolder(shared), same_person=True)
    await bring_in(laptop, known_as("a-tablet", "z-laptop"), same_person=True, keep=Keep.ours)
    merged = await merge_through(laptop, DiskFolder(shared))
    assert merged.left_out == ()
    assert len(await laptop.sessions.records()) == 3


def test_ids_are_one_persons_through_whoever_knows_both() -> None:
    files = [known_as("c", "d"), known_as("b", "c"), known_as("x"), known_as("a", "b")]
    for order in permutations(files):
        assert ids_of_one_person(known_as("a"), order) == {"a", "b", "c", "d"}
    assert ids_of_one_person(Holdings(), files) == {"a", "b", "c", "d"}, "the first one named counts"
    assert ids_of_one_person(Holdings(), [Holdings()]) == set()


def test_a_profile_has_a_limited_number_of_further_ids() -> None:
    with pytest.raises(ValueError, match=str(MOST_IDS)):
        Profile(trainee_id="a", name="Runa", also=tuple(map(str, range(MOST_IDS + 1))))


def test_the_profile_of_somebody_with_any_number_of_devices_can_be_read_again() -> None:
    many = under_all_ids(builders.profile(), [f"{number:05}" for number in range(2 * MOST_IDS)])
    assert len(many.ids) == MOST_IDS + 1
    assert Profile.model_validate_json(many.model_dump_json()) == many
