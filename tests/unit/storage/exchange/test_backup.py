"""A backup of everything, and what it restores."""

from __future__ import annotations

import hashlib
import json
import tracemalloc
from datetime import timedelta
from pathlib import Path
from typing import Any

import builders
import pytest
from builders import STARTED_AT
from places import GOLDEN
from refusals import refused_because, told

from companion.words.saying import said
from engine.base.issue import Unreadable
from engine.movements.movement import Joint, Side
from engine.record.amendment import Amendment
from engine.today.said import with_joint
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import FEWEST_BYTES_A_VALUE, Holdings, gather, read_backup, write_backup
from storage.exchange.bring_in import AnotherPerson, bring_in
from storage.exchange.merge import Stranger
from storage.exchange.restore import replace_all
from storage.files.layout import decode, encode
from storage.folder.store import FolderStore
from storage.models import KitOwned, WeekNote
from storage.store import Store

LATER = STARTED_AT + timedelta(days=1)


async def fill(store: Store) -> Store:
    await store.person.save_profile(builders.profile())
    await store.person.save_kit(KitOwned())
    await store.plans.save(builders.plan())
    await store.person.save_week_note(WeekNote(iso_week="2026-W10", all_activity_logged=True))
    await store.person.save_adjustment(builders.adjustment())
    for number in range(3):
        await store.sessions.save(builders.record(record_id=f"record-{number}", effort=6))
    await store.sessions.amend(
        Amendment(id="a", record_id="record-1", at=LATER, field="note", value="Late – “fine” 🪨")
    )
    await store.sessions.erase("record-2", at=LATER)
    await store.sessions.save_pain_note(builders.noted_pain())
    return store


async def everything(store: Store) -> Holdings:
    gathered = await gather(store)
    assert gathered.left_out == ()
    return gathered.holdings


@pytest.fixture
async def backup() -> bytes:
    return write_backup(await everything(await fill(BrowserStore(MemoryShelves()))))


async def test_a_backup_brings_everything_back_into_any_store(store: Store, backup: bytes) -> None:
    held = read_backup(backup, "backup.json")
    assert [len(part) for part in held] == [1, 1, 1, 2, 1, 1, 1, 1, 1]
    await bring_in(store, held)
    assert await everything(store) == held


async def test_a_backup_begins_with_its_format_and_version_and_is_the_same_for_the_same_things(
    store: Store, backup: bytes
) -> None:
    assert list(json.loads(backup))[:3] == ["format", "version", "sha256"]
    assert json.loads(backup)["format"] == "backup"
    for record in (builders.record(record_id=f"record-{number}", effort=6) for number in (1, 0)):
        await store.sessions.save(record)
    await fill(store)
    assert write_backup(await everything(store)) == backup


async def test_restoring_twice_doubles_nothing(store: Store, backup: bytes) -> None:
    held = read_backup(backup, "backup.json")
    await bring_in(store, held)
    again = await bring_in(store, held)
    assert again.added == Holdings()
    assert await everything(store) == held


async def test_what_is_there_stays_when_a_backup_is_restored(store: Store, backup: bytes) -> None:
    mine = builders.record(record_id="mine")
    await store.sessions.save(mine)
    brought = await bring_in(store, read_backup(backup, "backup.json"))
    assert len(brought.added.records) == 2
    assert await store.sessions.record("mine") == mine


async def test_what_was_erased_here_does_not_come_back(store: Store, backup: bytes) -> None:
    await store.sessions.erase("record-1", at=LATER)
    await bring_in(store, read_backup(backup, "backup.json"))
    assert [record.id for record in await store.sessions.records()] == ["record-0"]


async def test_a_merge_brings_a_pain_note_along_and_never_one_that_was_erased(
    store: Store, backup: bytes
) -> None:
    await store.sessions.save_pain_note(builders.noted_pain(id="mine"))
    brought = await bring_in(store, read_backup(backup, "backup.json"))
    assert [note.id for note in brought.added.pain_notes] == ["note-1"]
    assert {note.id for note in await store.sessions.pain_notes()} == {"mine", "note-1"}
    await store.sessions.erase("note-1", at=LATER)
    await bring_in(store, read_backup(backup, "backup.json"))
    assert [note.id for note in await store.sessions.pain_notes()] == ["mine"]
    theirs = await fill(BrowserStore(MemoryShelves()))
    await bring_in(theirs, await everything(store))
    assert [note.id for note in await theirs.sessions.pain_notes()] == ["mine"], "nor there"


async def test_what_was_said_about_today_stays_where_it_was_said(store: Store, backup: bytes) -> None:
    said = with_joint(None, (Joint.knee, Side.left), 4, STARTED_AT)
    await store.person.save_said_today(said)
    await bring_in(store, read_backup(backup, "backup.json"))
    assert await store.person.said_today() == said
    assert b"said_at" not in write_backup(await everything(store))


async def test_the_records_of_another_person_are_refused(store: Store, backup: bytes) -> None:
    await store.person.save_profile(builders.profile(trainee_id="another"))
    with pytest.raises(AnotherPerson) as refused:
        await bring_in(store, read_backup(backup, "backup.json"))
    assert refused.value.stranger == Stranger(builders.profile().name, builders.profile().ids)
    assert await store.sessions.records() == ()


async def test_replacing_leaves_what_the_backup_holds_and_nothing_else(
    native: FolderStore, backup: bytes
) -> None:
    held = read_backup(backup, "backup.json")
    await native.sessions.save(builders.record(record_id="mine"))
    await native.sessions.erase("record-0", at=LATER)
    await native.plans.save(builders.plan(id="another-plan"))
    for _ in range(2):
        await replace_all(native, held)
        assert await everything(native) == held
    await replace_all(native, Holdings())
    assert await everything(native) == Holdings()


async def test_what_a_newer_version_wrote_is_left_out_and_said_and_the_rest_is_exported(
    native: FolderStore, folder: Path
) -> None:
    await fill(native)
    for path in (folder / "plans.json", folder / "sessions" / "record-0.json"):
        path.write_bytes(path.read_bytes().replace(b'"version": 1', b'"version": 2', 1))
    gathered = await gather(FolderStore(folder, may_write=lambda: False))
    assert [len(part) for part in gathered.holdings] == [1, 1, 0, 1, 1, 1, 1, 1, 1]
    assert len(gathered.left_out) == 2
    assert all("newer version (2)" in said(one) for one in gathered.left_out)


def changed(backup: bytes, change: Any) -> bytes:
    """The backup with another content, under a correct checksum."""
    tables = decode(backup, "backup", "backup.json")
    change(tables)
    return encode(tables, "backup", sort_keys=True)


def _deep(tables: Any) -> None:
    value: Any = 1
    for _ in range(45):
        value = [value]
    tables["amendments"]["a"]["value"] = value


REFUSED = {
    "another name": lambda t: t["records"].update(other=t["records"].pop("record-0")),
    "an amendment alone": lambda t: t["records"].pop("record-1"),
    "a missing field": lambda t: t["records"]["record-0"].pop("sets"),
    "an unknown field": lambda t: t["profiles"]["only"].update(shoe_size=42),
    "a figure out of bounds": lambda t: t["records"]["record-0"].update(effort=11),
    "an endless number": lambda t: t["records"]["record-0"].update(active_ms=10**30),
    "a correction that is none": lambda t: t["amendments"]["a"].update(field="effort", value="much"),
    "a word that turns the direction of writing": lambda t: t["plans"]["test-plan"]["blocks"][0].update(
        kind="\u202e"
    ),
    "deep nesting": _deep,
    "a date that is none": lambda t: t["records"]["record-0"].update(local_date="2026-02-30"),
    "an unknown table": lambda t: t.update(photos={"a": {}}),
    "a list for a table": lambda t: t.update(plans=[]),
}


@pytest.mark.parametrize("fault", REFUSED)
def test_a_backup_with_a_fault_is_refused_in_one_sentence(backup: bytes, fault: str) -> None:
    raw = changed(backup, REFUSED[fault])
    with pytest.raises(Unreadable) as unreadable:
        read_backup(raw, "backup.json")
    assert 10 < len(told(unreadable.value)) < 400
    assert told(unreadable.value).isprintable()


def test_of_a_name_that_goes_on_and_on_a_sentence_tells_sixty_characters(backup: bytes) -> None:
    raw = changed(backup, lambda tables: tables["profiles"]["only"].update({"y" * 90: 42}))
    with refused_because(r"(?<!y)y{60}…:"):
        read_backup(raw, "backup.json")


@pytest.mark.parametrize(
    "raw", [b"", b"{}", b"[" * 100_000, b"\xff\xfe", b'{"format": "plan"}', b"\0" * 1_000, b'{"a":' * 5_000]
)
def test_what_is_no_backup_is_refused(raw: bytes) -> None:
    with refused_because(r"not a whole backup|more values than"):
        read_backup(raw, "backup.json")


def test_a_changed_byte_is_noticed(backup: bytes) -> None:
    spoilt = backup.replace(b"fine", b"nine")
    assert spoilt != backup
    with refused_because("damaged or cut short"):
        read_backup(spoilt, "backup.json")


def test_a_record_that_cannot_be_counted_is_refused() -> None:
    """Its times lead beyond the last year that a date can have."""
    golden = json.loads((GOLDEN / "record.json").read_text("utf-8"))
    for done in golden["done"]:
        done["started_ms"] = 10**18
    with refused_because("cannot be counted"):
        read_backup(encode({"records": {golden["id"]: golden}}, "backup"), "backup.json")


def test_a_lone_surrogate_is_refused(backup: bytes) -> None:
    body = json.dumps(json.loads(backup)["tables"]).replace("fine", "\\ud800")
    raw = b'{"format": "backup", "version": 1, "sha256": "%s", "tables":\n%s\n}\n'
    checksum = hashlib.sha256(f"backup 1\n{body}".encode()).hexdigest()
    with refused_because("not a whole backup"):
        read_backup(raw % (checksum.encode(), body.encode()), "backup.json")


def test_a_newer_backup_says_so(backup: bytes) -> None:
    with refused_because("newer version"):
        read_backup(backup.replace(b'"version": 1', b'"version": 2', 1), "backup.json")


def test_a_backup_that_is_too_large_is_refused_before_it_is_read(backup: bytes) -> None:
    with refused_because("larger than"):
        read_backup(backup, "backup.json", most_bytes=len(backup) - 1)


def test_a_backup_of_empty_objects_is_refused_before_it_fills_the_memory() -> None:
    """20 MB of them took 509 MB."""
    raw = encode({"plans": {"a": [{}] * 2_000_000}}, "backup")
    tracemalloc.start()
    try:
        with refused_because("more values than a backup of its size"):
            read_backup(raw, "backup.json")
        assert tracemalloc.get_traced_memory()[1] < 1_000_000
    finally:
        tracemalloc.stop()


def test_a_backup_of_ours_has_well_more_bytes_a_value_than_the_limit(backup: bytes) -> None:
    values = sum(map(backup.count, (b",", b"{", b"[")))
    assert len(backup) / values > 1.5 * FEWEST_BYTES_A_VALUE


@pytest.mark.parametrize("values, refused", [(12_500, False), (12_501, True)])
def test_a_small_file_may_hold_as_many_values_as_one_of_a_hundred_kilobytes(
    values: int, refused: bool
) -> None:
    """8 bytes each, half of what a backup of ours has. † Our judgement, no source."""
    signs = sum(map(encode({"plans": {"a": ""}}, "backup").count, (b",", b"{", b"[")))
    raw = encode({"plans": {"a": "," * (values - signs)}}, "backup")
    with pytest.raises(Unreadable) as found:
        read_backup(raw, "backup.json")
    assert ("more values than a backup of its size" in told(found.value)) == refused
