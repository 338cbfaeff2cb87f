"""Several people on one device: each has records of their own, and nothing of one shows with another."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from builders import profile, record
from flet_client import FletClient, window_on

from companion.views.controls.frame import SOMEBODY_ELSE
from companion.views.home.backup import ANOTHER_HERE, BRING_IN, ERASE, SAME_PERSON, WORD
from companion.views.home.settings import ADD
from companion.views.home.who import TITLE
from companion.words.faults import why
from engine.base.issue import WrongValue
from engine.movements.movement import Kit
from engine.record.profile import UNNAMED
from storage.exchange.backup import Holdings, gather, write_backup
from storage.exchange.device_files import DiskFolder
from storage.exchange.shared_folder import merge_through
from storage.folder.location import folder_of, keys_in
from storage.folder.owner import Owners
from storage.folder.store import FolderStore
from storage.models import KitOwned
from storage.store import Store
from storage.trainees import FIRST, TraineeHere, new_name, who_goes_on

RUNA = profile(name="Runa")
ODD = profile(name="Odd", trainee_id="odd")


async def only_runa(store: Store) -> None:
    await store.person.save_profile(RUNA)
    await store.person.save_kit(KitOwned(dumbbells=Kit.pair))
    await store.sessions.save(record(record_id="of-runa", note="Runa's own words"))


async def with_odd(folder: Path) -> FolderStore:
    """Runa and Odd train here."""
    await only_runa(FolderStore(folder))
    odd = FolderStore(folder_of(folder, "0" * 32))
    await odd.person.save_profile(ODD)
    return odd


async def closed(client: FletClient) -> None:
    client.session.close()
    await asyncio.sleep(0)


def picks(client: FletClient, holdings: Holdings) -> None:
    """Has a backup of these holdings picked next."""
    content = write_backup(holdings)
    picked = {"id": 1, "name": "backup.json", "size": len(content), "bytes": content}
    client.connection.answers["pick_files"] = [picked]


async def in_settings(folder: Path, fill: Callable[[Store], Awaitable[None]] = only_runa) -> FletClient:
    client = await window_on(folder, fill=fill)
    await client.until_shown("How many minutes?")
    await client.press("Settings")
    await client.until_shown("Who else trains on this device")
    return client


async def test_somebody_else_trains_here_with_the_same_weights_and_own_records(
    tmp_path: Path,
) -> None:
    client = await in_settings(tmp_path)
    await client.write("Their name", "runa")
    await client.press(ADD)
    await client.until_shown("runa trains here already")
    await client.write("Their name", "Odd")
    await client.press(ADD)
    await client.until_shown("This is general training information")
    await client.press("I have read this")
    await client.until_shown("Training now: Odd")
    odd = FolderStore(folder_of(tmp_path, keys_in(tmp_path)[1]))
    kit, saved = await odd.person.kit(), await odd.person.profile()
    assert kit == KitOwned(dumbbells=Kit.pair)
    assert saved is not None
    assert (saved.name, saved.trainee_id == RUNA.trainee_id) == ("Odd", False)
    assert await odd.sessions.records() == ()
    runas = await FolderStore(tmp_path).person.profile()
    assert runas is not None
    assert (runas.name, runas.trainee_id) == (RUNA.name, RUNA.trainee_id)
    await closed(client)


async def test_the_next_opening_asks_who_trains_and_opens_their_records(tmp_path: Path) -> None:
    await with_odd(tmp_path)
    client = await window_on(tmp_path)
    await client.until_shown(TITLE)
    assert not client.shows("How many minutes?")
    await client.press("Odd")
    await client.until_shown("Training now: Odd")
    await client.press(SOMEBODY_ELSE)
    await client.until_shown(TITLE)
    await client.press("Runa")
    await client.until_shown("Training now: Runa")
    await closed(client)


async def test_a_session_in_progress_is_the_first_thing_that_is_seen(tmp_path: Path) -> None:
    await with_odd(tmp_path)
    client = await window_on(tmp_path)
    await client.press("Odd")
    await client.until_shown("How many minutes?")
    await client.press("Start")
    await client.until_shown("Something hurts")
    await closed(client)
    again = await window_on(tmp_path)
    await again.until_shown("Paused")
    assert again.shows("Training now: Odd")
    await again.press(SOMEBODY_ELSE)
    await again.until_shown("A session waits: ")
    await again.press("Runa")
    await again.until_shown("Training now: Runa")
    assert await FolderStore(tmp_path).run.read() is None
    await closed(again)


async def test_two_windows_of_one_device_are_for_two_people(tmp_path: Path) -> None:
    await with_odd(tmp_path)
    owners = Owners()
    one, other = [await window_on(tmp_path, owners=owners, token=token) for token in ("one", "other")]
    for client, name in ((one, "Runa"), (other, "Odd")):
        await client.press(name)
        await client.until_shown(f"Training now: {name}")
        assert not client.shows("changes nothing")
    await closed(one)
    await closed(other)


async def test_nothing_of_one_is_in_the_others_backup_and_erasing_leaves_the_other(
    tmp_path: Path,
) -> None:
    odd = await with_odd(tmp_path)
    backup = write_backup((await gather(odd)).holdings).decode()
    for word in ("Runa", "of-runa", RUNA.trainee_id):
        assert word not in backup
    client = await window_on(tmp_path)
    await client.press("Runa")
    await client.until_shown("How many minutes?")
    await client.press("Settings")
    await client.until_shown(ERASE)
    await client.write(f"Write “{WORD}” to go on", WORD)
    await client.press(ERASE)
    await client.until_shown("The records of Runa are erased. Those of others stay.")
    await client.press("Odd")
    await client.until_shown("How many minutes?")
    assert await FolderStore(tmp_path).person.profile() is None
    odds = await odd.person.profile()
    assert odds is not None
    assert odds.trainee_id == "odd", "who alone is left goes on"
    assert not client.shows("Training now: Odd"), "there is nobody else now"
    await closed(client)


async def test_a_backup_of_somebody_else_can_become_records_of_their_own(tmp_path: Path) -> None:
    client = await in_settings(tmp_path)
    theirs = Holdings(profiles=(ODD,), records=(record(record_id="of-odd"),))
    picks(client, theirs)
    await client.press(BRING_IN)
    await client.until_shown("These records were made by Odd on another device. Are both you?")
    await client.press(ANOTHER_HERE)
    await client.until_shown("Training now: Odd")
    odd = FolderStore(folder_of(tmp_path, keys_in(tmp_path)[1]))
    assert [one.id for one in await odd.sessions.records()] == ["of-odd"]
    assert [one.id for one in await FolderStore(tmp_path).sessions.records()] == ["of-runa"]
    await closed(client)


async def test_the_backup_of_somebody_who_trains_here_is_theirs_alone(tmp_path: Path) -> None:
    odd = await with_odd(tmp_path)
    client = await window_on(tmp_path)
    await client.press("Runa")
    await client.until_shown("Training now: Runa")
    await client.press("Settings")
    await client.until_shown(ERASE)
    picks(client, (await gather(odd)).holdings)
    await client.press(BRING_IN)
    await client.until_shown("These are the records of Odd, who trains here too: only Odd can open them.")
    assert not client.shows(SAME_PERSON)
    await closed(client)


async def test_what_somebody_else_of_this_device_wrote_in_one_folder_is_nobody_elses(tmp_path: Path) -> None:
    odd, shared = await with_odd(tmp_path / "device"), tmp_path / "shared"
    shared.mkdir()
    await merge_through(odd, DiskFolder(shared))
    runa = FolderStore(tmp_path / "device")
    merged = await merge_through(runa, DiskFolder(shared), same_person=True, not_of=ODD.ids)
    assert (merged.strangers, merged.files) == ({}, ())
    profile = await runa.person.profile()
    assert profile is not None
    assert profile.ids == RUNA.ids


@pytest.mark.parametrize(
    ("trainees", "key"),
    [
        ((), FIRST),
        ((TraineeHere("b", "Odd"),), "b"),
        ((TraineeHere("", "Runa"), TraineeHere("b", "Odd")), None),
        ((TraineeHere("", "Runa"), TraineeHere("b", "Odd", "Evening")), "b"),
        ((TraineeHere("", "Runa", "Morning"), TraineeHere("b", "Odd", "Evening")), None),
    ],
)
def test_who_is_opened_unasked(trainees: tuple[TraineeHere, ...], key: str | None) -> None:
    assert who_goes_on(trainees) == key


@pytest.mark.parametrize("written", ["", "  ", "\u3164", "x" * 121])
def test_a_name_can_be_seen(written: str) -> None:
    with pytest.raises(WrongValue) as refused:
        new_name(written, ())
    assert "1 to 120 letters" in why(refused.value)
    assert new_name(" Odd\u202e ", ("Runa",)) == "Odd"


async def test_who_has_no_name_yet_is_asked_for_it_first(tmp_path: Path) -> None:
    async def unnamed(store: Store) -> None:
        await store.person.save_profile(profile(name=UNNAMED))

    client = await in_settings(tmp_path, unnamed)
    await client.write("Their name", "Odd")
    await client.press(ADD)
    await client.until_shown("Write your own name above first")
    assert keys_in(tmp_path) == (FIRST,)
    await closed(client)
