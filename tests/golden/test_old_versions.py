"""This version reads what an older one wrote: a data folder and a backup, frozen as the older one left them.

The older version is invented (tests/support/golden/version_0.py), because version 1 is the first. Likewise
tests/browser/phone/test_storage.py migrates the browser's database between invented versions.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from places import GOLDEN
from recounted import agrees_with_a_recount
from refusals import refused_because
from version_0 import BACKUP, FOLDER, STEPS

from engine.load.rack import FixedWeight
from engine.movements.movement import Kit
from engine.record.record import Record
from storage import schema
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import gather, read_backup
from storage.exchange.bring_in import bring_in
from storage.folder.store import FolderStore
from storage.schema import VERSION, migrate

SESSION = "sessions/8d2f6b7e-93a4-4f5b-8a61-5f0de4c1a902.json"
ERASED = "sessions/5d1f0c1e-2f7b-4e0a-9a53-7c1b4a6f8e21.json"
SAMPLES = {"session-file": FOLDER / SESSION, "kit-file": FOLDER / "kit.json", "backup": BACKUP}


@pytest.fixture(autouse=True)
def steps_from_version_0(monkeypatch: pytest.MonkeyPatch) -> None:
    for start, step in STEPS.items():
        monkeypatch.setitem(schema.STEPS, start, step)  # type: ignore[arg-type]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(FOLDER, tmp_path / "kept"))


def tables_in(path: Path) -> dict[str, Any]:
    tables: dict[str, Any] = json.loads(path.read_bytes())["tables"]
    return tables


def version_of(path: Path) -> int:
    version: int = json.loads(path.read_bytes())["version"]
    return version


def test_version_0_is_the_version_before_this_one() -> None:
    """Once version 2 exists, frozen files of version 1 replace those of the invented version."""
    assert VERSION == 1
    frozen = [path for path in (GOLDEN / "old").rglob("*.json") if path.name != "running.jsonl"]
    assert {version_of(path) for path in frozen} == {0}


@pytest.mark.parametrize("may_write", [True, False])
async def test_a_folder_of_an_older_version_is_read_whole(folder: Path, may_write: bool) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    store = FolderStore(folder, may_write=lambda: may_write)
    (old,) = tables_in(FOLDER / SESSION)["records"].values()
    (record,) = await store.sessions.records()
    assert (record.id, record.note) == (old["id"], old["remark"])
    assert [one.segment_id for one in record.done] == [one["segment_id"] for one in old["done"]]
    assert [one.worked_ms for one in record.done] == [one["worked_ms"] for one in old["done"]]
    loads_kg = [one["load_kg"] for one in old["sets"]]
    assert [one.load_g and one.load_g / 1_000 for one in record.sets] == loads_kg
    assert any(loads_kg)
    (amendment,) = await store.sessions.amendments(record.id)
    assert amendment.value == tables_in(FOLDER / SESSION)["amendments"][amendment.id]["value"]
    (stone,) = await store.sessions.tombstones()
    assert not await store.sessions.records("2026-09")
    assert stone.record_id in tables_in(FOLDER / ERASED)["tombstones"]
    plans, profile, run = await store.plans.all(), await store.person.profile(), await store.run.read()
    assert [plan.id for plan in plans] == list(tables_in(FOLDER / "plans.json")["plans"])
    assert profile is not None
    assert run is not None
    assert len(run.events) == 6
    assert await agrees_with_a_recount(store)
    assert await store.troubles() == ()
    if not may_write:
        assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


async def test_the_weights_of_the_older_version_are_a_rack_of_the_same_weights(folder: Path) -> None:
    old = tables_in(FOLDER / "kit.json")["only"]["only"]
    assert (old["weights_kg"], old["dumbbells"]) == ([4, 8, 12], "pair")
    kit = await FolderStore(folder).person.kit()
    assert kit is not None
    assert (kit.dumbbells, kit.absent) == (Kit.pair, ("wall",))
    assert kit.rack.fixed == tuple(FixedWeight(load_g=load_g, count=2) for load_g in (4_000, 8_000, 12_000))
    assert kit.rack.loads_g(2) == (4_000, 8_000, 12_000)


async def test_a_file_is_written_in_this_version_at_its_next_change_and_until_then_stays(
    folder: Path,
) -> None:
    store = FolderStore(folder)
    kit, records = await store.person.kit(), await store.sessions.records()
    assert kit is not None
    await store.person.save_kit(kit)
    assert version_of(folder / "kit.json") == 1
    assert version_of(folder / SESSION) == 0
    (amendment,) = await store.sessions.amendments(records[0].id)
    await store.sessions.amend(amendment.model_copy(update={"id": "another"}))
    assert version_of(folder / SESSION) == 1
    again = FolderStore(folder)
    assert await again.sessions.records() == records
    assert await again.person.kit() == kit
    assert await agrees_with_a_recount(again)


async def test_a_session_of_the_older_version_is_erased_for_good(folder: Path) -> None:
    store = FolderStore(folder)
    (record,) = await store.sessions.records()
    await store.sessions.erase(record.id, at=record.ended_at)
    again = FolderStore(folder)
    assert await again.sessions.records() == ()
    assert len(await again.sessions.tombstones()) == 2
    assert not [path for path in folder.rglob("*.json*") if record.note.encode() in path.read_bytes()]


@pytest.mark.parametrize("format", SAMPLES)
def test_a_step_leaves_what_it_was_given_alone_and_taken_twice_changes_nothing(format: str) -> None:
    assert {start for start, _ in STEPS} == set(SAMPLES)
    tables, again = tables_in(SAMPLES[format]), tables_in(SAMPLES[format])
    once = STEPS[format, 0](tables)
    assert tables == again
    assert once != tables
    assert STEPS[format, 0](once) == once
    assert migrate(tables, format, 0) == once


async def test_a_backup_of_the_older_version_holds_what_its_folder_holds(folder: Path) -> None:
    held = read_backup(BACKUP.read_bytes(), BACKUP.name)
    assert held == (await gather(FolderStore(folder))).holdings
    assert [type(one) for one in held.records] == [Record]
    store = BrowserStore(MemoryShelves())
    await bring_in(store, held)
    assert (await gather(store)).holdings == held


def test_a_backup_that_says_it_is_older_and_holds_what_no_version_wrote_is_refused() -> None:
    """Its checksum is correct, but the step finds a set without its load."""
    body = BACKUP.read_bytes().split(b"\n")[1].replace(b'"load_kg"', b'"load_st"', 1)
    sha256 = hashlib.sha256(b"backup 0\n" + body).hexdigest().encode()
    raw = b'{"format": "backup", "version": 0, "sha256": "%s", "tables":\n%s\n}\n' % (sha256, body)
    with refused_because("not a whole backup"):
        read_backup(raw, BACKUP.name)
