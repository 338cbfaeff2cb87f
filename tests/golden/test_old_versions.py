"""What an older version wrote is read by this one: a whole data folder, frozen as each version left it.

Version 1 wrote whole segments into what became of them, listed weights without a rack, and kept the sessions
of a month in one file.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from places import GOLDEN

from engine.load.rack import FixedWeight
from engine.movements.movement import Kit
from engine.record.history import history_of
from engine.record.record import Record
from storage.derived import last_loads, weekly_figures
from storage.folder.store import NativeStore
from storage.schema import STEPS, migrate
from storage.store import amended_records

OLD = GOLDEN / "old"
MONTH = "records/2026-10.json"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(OLD / "version-1", tmp_path / "kept"))


def written(name: str) -> dict[str, Any]:
    tables: dict[str, Any] = json.loads((OLD / "version-1" / name).read_bytes())["tables"]
    return tables


@pytest.mark.parametrize("may_write", [True, False])
async def test_a_folder_of_version_1_is_read_whole(folder: Path, may_write: bool) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    store = NativeStore(folder, may_write=lambda: may_write)
    (old,) = written(MONTH)["records"].values()
    (record,) = await store.sessions.records()
    assert (record.id, record.sets, record.note) == (
        old["id"],
        Record.model_validate(record).sets,
        old["note"],
    )
    assert [one.segment_id for one in record.done] == [one["segment"]["id"] for one in old["done"]]
    assert [one.worked_ms for one in record.done] == [one["worked_ms"] for one in old["done"]]
    sets = zip(record.model_dump(mode="json")["sets"], old["sets"], strict=True)
    assert [{key: now[key] for key in then} for now, then in sets] == old["sets"]
    (amendment,) = await store.sessions.amendments(record.id)
    assert amendment.value == written(MONTH)["amendments"][amendment.id]["value"]
    (stone,) = await store.sessions.tombstones()
    assert not await store.sessions.records("2026-09")
    assert stone.record_id in written(MONTH)["tombstones"]
    plans, profile, run = await store.plans.all(), await store.person.profile(), await store.run.read()
    assert [plan.id for plan in plans] == list(written("plans.json")["plans"])
    assert profile is not None
    assert run is not None
    assert len(run.events) == 6
    amended, amendments = await amended_records(store), await store.sessions.amendments_in()
    assert await store.sessions.week_index() == weekly_figures(amended)
    assert await store.sessions.last_loads() == last_loads(amended)
    assert await store.sessions.history() == history_of(amended, amendments)
    assert await store.troubles() == ()
    if not may_write:
        assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


async def test_the_weights_of_version_1_are_a_rack_of_the_same_weights(folder: Path) -> None:
    old = written("kit.json")["only"]["only"]
    assert (old["loads_g"], old["adjustable"], old["dumbbells"]) == ([4_000, 8_000, 12_000], True, "pair")
    kit = await NativeStore(folder).person.kit()
    assert kit is not None
    assert (kit.dumbbells, kit.absent) == (Kit.pair, ("wall",))
    assert kit.rack.fixed == tuple(FixedWeight(load_g=load_g, count=2) for load_g in old["loads_g"])
    assert kit.rack.loads_g(2) == tuple(old["loads_g"])


async def test_the_months_of_version_1_become_a_file_for_each_session(folder: Path) -> None:
    store = NativeStore(folder)
    records = await store.sessions.records()
    assert list((folder / "records").iterdir()) == []
    assert len(list((folder / "sessions").iterdir())) == 2
    assert not (folder / "index.json").exists()
    assert await NativeStore(folder).sessions.records() == records


@pytest.mark.parametrize("left", ["nothing", "a session"])
async def test_a_crash_while_the_months_are_split_loses_nothing(folder: Path, left: str) -> None:
    records = await NativeStore(folder).sessions.records()
    (folder / MONTH).write_bytes((OLD / "version-1" / MONTH).read_bytes())
    sessions = sorted((folder / "sessions").iterdir())
    for path in sessions if left == "nothing" else sessions[:1]:
        path.unlink()
    store = NativeStore(folder)
    assert await store.sessions.records() == records
    assert len(await store.sessions.tombstones()) == 1


async def test_a_month_of_version_1_put_back_later_takes_nothing_back(folder: Path) -> None:
    store = NativeStore(folder)
    (record,) = await store.sessions.records()
    await store.sessions.erase(record.id, at=record.ended_at)
    (folder / MONTH).write_bytes((OLD / "version-1" / MONTH).read_bytes())
    assert await NativeStore(folder).sessions.records() == ()


def test_a_step_leaves_what_it_was_given_alone_and_taken_twice_changes_nothing() -> None:
    for (format, version), step in STEPS.items():
        name = MONTH if format == "month-of-records" else "kit.json"
        tables, again = written(name), written(name)
        once = step(tables)
        assert tables == again
        assert step(once) == once
        assert migrate(tables, format, version) == once


def test_a_segment_that_a_change_took_out_of_the_session_is_kept() -> None:
    tables = written(MONTH)
    (record,) = tables["records"].values()
    gone = record["session"]["segments"].pop(0)
    (migrated,) = migrate(tables, "month-of-records", 1)["records"].values()
    assert migrated["taken_out"] == [gone]
    assert Record.model_validate(migrated).by_id[gone["id"]].planned_ms == gone["planned_ms"]
