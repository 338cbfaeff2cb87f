"""What only the store in a folder does: its files, its index, and its rights."""

from __future__ import annotations

import errno
import json
import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import builders
import pytest
from builders import STARTED_AT

from engine.history import history_of
from engine.movement import Equipment
from engine.record import Amendment, Record, SetAnswer
from storage.count import count_weeks, last_loads
from storage.database import NativeStore
from storage.durable import decode, encode
from storage.models import KitOwned
from storage.problem import Cause, StorageProblem
from storage.protocol import Store, amended_records

LATER = STARTED_AT + timedelta(days=1)
SECRET = "my-own-business"


def on(day: str, **answers: Any) -> Record:
    started_at = datetime.fromisoformat(f"{day}T18:30:00+00:00")
    return builders.record(started_at=started_at, record_id=f"record-{day}", **answers)


async def filled(store: NativeStore) -> NativeStore:
    for day in ("2026-02-27", "2026-03-01", "2026-03-02", "2026-03-31", "2026-04-01"):
        await store.save_record(on(day, effort=6, loads_g={"one-hand-press": 5_000}))
    return store


async def agrees_with_a_recount(store: Store) -> bool:
    records, amendments = await amended_records(store), await store.amendments_in()
    kept = (await store.week_index(), await store.last_loads(), await store.history())
    return kept == (count_weeks(records), last_loads(records), history_of(records, amendments))


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def leave_only_the_heads(records: Path) -> None:
    """Whoever reads more than the first line of a month finds it damaged."""
    for path in records.glob("*.json"):
        head, _, _ = path.read_bytes().partition(b"\n")
        path.write_bytes(head + b"\nnothing to be read here")


async def test_another_store_over_the_same_folder_finds_everything(native: NativeStore, folder: Path) -> None:
    await filled(native)
    await native.save_profile(builders.profile())
    await native.save_kit(KitOwned(absent=(Equipment.wall,)))
    await native.save_plan(builders.plan())
    later = NativeStore(folder)
    assert await later.records() == await native.records()
    assert await later.profile() == builders.profile()
    assert await later.kit() == KitOwned(absent=(Equipment.wall,))
    assert await later.plans() == (builders.plan(),)
    assert await later.week_index() == await native.week_index()


async def test_records_lie_in_the_file_of_the_month_of_their_local_date(
    native: NativeStore, folder: Path
) -> None:
    await filled(native)
    names = sorted(path.name for path in (folder / "records").glob("*.json"))
    assert names == ["2026-02.json", "2026-03.json", "2026-04.json"]
    march = json.loads((folder / "records" / "2026-03.json").read_bytes())
    assert march["format"] == "month-of-records"
    assert sorted(march["tables"]["records"]) == [
        "record-2026-03-01",
        "record-2026-03-02",
        "record-2026-03-31",
    ]


async def test_a_late_amendment_lies_with_its_record(native: NativeStore, folder: Path) -> None:
    await filled(native)
    await native.amend(
        Amendment(
            id="a", record_id="record-2026-02-27", at=LATER + timedelta(days=60), field="note", value="Late."
        )
    )
    february = json.loads((folder / "records" / "2026-02.json").read_bytes())
    assert list(february["tables"]["amendments"]) == ["a"]
    assert not (folder / "records" / "2026-05.json").exists()


async def test_nothing_of_an_erased_record_is_left_in_any_file(native: NativeStore, folder: Path) -> None:
    hurt = builders.record(record_id="erase-me", note=SECRET).model_copy(
        update={"pains": (builders.pain(words=SECRET),)}
    )
    await filled(native)
    await native.save_record(hurt)
    note = Amendment(id="a", record_id="erase-me", at=LATER, field="note", value=SECRET)
    await native.amend(note)
    assert any(SECRET.encode() in content for content in contents(folder).values())
    await native.erase_record("erase-me", at=LATER)
    assert [name for name, content in contents(folder).items() if SECRET.encode() in content] == []
    assert [p.name for p in folder.glob("history.json*") if b"erase-me" in p.read_bytes()] == []
    assert await agrees_with_a_recount(native)


async def test_opening_reads_the_index_and_no_record(native: NativeStore, folder: Path) -> None:
    await filled(native)
    weeks, loads, history = await native.week_index(), await native.last_loads(), await native.history()
    leave_only_the_heads(folder / "records")
    assert await NativeStore(folder).week_index() == weeks
    assert await NativeStore(folder).last_loads() == loads
    assert await NativeStore(folder).history() == history


async def test_a_session_in_a_new_month_reads_no_earlier_month(native: NativeStore, folder: Path) -> None:
    earlier, late = await (await filled(native)).records(), on("2026-05-13", effort=7)
    leave_only_the_heads(folder / "records")
    await native.save_record(late)
    assert await NativeStore(folder).history() == history_of([*earlier, late])


async def test_a_late_answer_in_an_earlier_month_is_in_the_history(native: NativeStore) -> None:
    first = (await (await filled(native)).records())[0]
    answer = SetAnswer(load_g=2_500).model_dump(mode="json")
    late = Amendment(
        id="a", record_id=first.id, at=LATER, field="set", value={"key": first.sets[0].key, "answer": answer}
    )
    await native.amend(late)
    assert (await native.history()).exposures[0].sets[0].load_g == 2_500
    assert await agrees_with_a_recount(native)


@pytest.mark.parametrize("change", [{"made_as": 0}, {"history": {"days": [], "unknown": 1}}])
async def test_a_history_that_was_made_otherwise_is_made_again(
    native: NativeStore, folder: Path, change: dict[str, Any]
) -> None:
    await filled(native)
    path = folder / "history.json"
    folds = decode(path.read_bytes(), "history-folds", path.name)["folds"]
    path.write_bytes(
        encode({"folds": {name: fold | change for name, fold in folds.items()}}, "history-folds")
    )
    assert await agrees_with_a_recount(NativeStore(folder))
    assert decode(path.read_bytes(), "history-folds", path.name)["folds"] == folds


@pytest.mark.parametrize("loss", ["removed", "damaged", "emptied", "as it was before"])
async def test_a_lost_index_is_counted_again(native: NativeStore, folder: Path, loss: str) -> None:
    await filled(native)
    weeks, index = await native.week_index(), folder / "index.json"
    older = index.with_name("index.json.previous").read_bytes()
    index.with_name("index.json.previous").unlink()
    for path in folder.glob("history.json*"):
        path.unlink()
    if loss == "removed":
        index.unlink()
    else:
        index.write_bytes(
            {"damaged": index.read_bytes()[:-9], "emptied": b"", "as it was before": older}[loss]
        )
    again = NativeStore(folder)
    assert await again.week_index() == weeks
    assert await agrees_with_a_recount(again)


async def test_the_index_follows_months_that_others_put_there_changed_or_took_away(
    native: NativeStore, folder: Path, tmp_path: Path
) -> None:
    await filled(native)
    other = NativeStore(tmp_path / "other")
    await other.save_record(on("2026-03-11", effort=3))
    await other.save_record(on("2026-05-06", effort=3))
    for month in ("2026-03.json", "2026-05.json"):
        (folder / "records" / month).write_bytes((tmp_path / "other" / "records" / month).read_bytes())
    for path in (folder / "records").glob("2026-04.json*"):
        path.unlink()
    assert [week.iso_week for week in await native.week_index()] == ["2026-W09", "2026-W11", "2026-W19"]
    assert await agrees_with_a_recount(native)


async def test_a_damaged_month_falls_back_by_one_change_and_says_so(
    native: NativeStore, folder: Path
) -> None:
    await filled(native)
    march = folder / "records" / "2026-03.json"
    march.write_bytes(march.read_bytes()[:-100])
    again = NativeStore(folder)
    assert [record.id for record in await again.records("2026-03")] == [
        "record-2026-03-01",
        "record-2026-03-02",
    ]
    (trouble,) = await again.troubles()
    assert trouble.where == "2026-03.json"
    assert await agrees_with_a_recount(again)
    assert await again.save_record(on("2026-03-31", effort=6, loads_g={"one-hand-press": 5_000}))
    assert await again.records() == await (await filled(native)).records()


async def test_a_damaged_month_is_counted_as_it_falls_back_also_when_the_index_looks_first(
    native: NativeStore, folder: Path
) -> None:
    await filled(native)
    march = folder / "records" / "2026-03.json"
    march.write_bytes(b"\0" * 500)
    again = NativeStore(folder)
    assert "2026-W14" in [week.iso_week for week in await again.week_index()]
    assert (await again.week_index())[-1].sessions == 1
    assert await agrees_with_a_recount(again)


@pytest.mark.parametrize("step", range(1, 5))
async def test_a_save_that_fails_at_any_step_loses_nothing_and_can_be_done_again(
    native: NativeStore, folder: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    await filled(native)
    before, steps, really = await native.records(), 0, os.fsync

    def fails_once(descriptor: int) -> None:
        nonlocal steps
        steps += 1
        if steps == step:
            raise OSError(errno.ENOSPC, "full")
        really(descriptor)

    late = on("2026-03-20", effort=8)
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", fails_once)
        try:
            await native.save_record(late)
        except StorageProblem as problem:
            assert problem.cause is Cause.disk_full  # noqa: PT017
    assert steps >= step, "the fault was met"
    again = NativeStore(folder)
    assert [record for record in await again.records() if record != late] == list(before)
    assert await agrees_with_a_recount(again)
    assert await again.save_record(late)
    assert len(await again.records()) == len(before) + 1
    assert await agrees_with_a_recount(again)
    assert await again.troubles() == ()


async def test_an_index_that_cannot_be_saved_does_not_keep_anyone_from_reading(
    native: NativeStore, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    weeks = await (await filled(native)).week_index()
    for path in folder.glob("index.json*"):
        path.unlink()

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "fsync", full)
    assert await native.week_index() == weeks


async def test_who_is_not_the_owner_reads_and_changes_nothing(native: NativeStore, folder: Path) -> None:
    await filled(native)
    run = builders.journal()
    await native.open_run(run.record().model_copy(update={"events": ()}))
    await native.append(run.events[0])
    (folder / "index.json").unlink()
    before = contents(folder)
    reader = NativeStore(folder, may_write=lambda: False)
    assert await reader.records() == await native.records()
    assert await reader.running() == run.record()
    for attempt in (
        reader.save_record(on("2026-06-01")),
        reader.amend(Amendment(id="a", record_id="record-2026-03-01", at=LATER, field="note", value="x")),
        reader.erase_record("record-2026-03-01", at=LATER),
        reader.save_profile(builders.profile()),
        reader.save_kit(KitOwned()),
        reader.save_plan(builders.plan()),
        reader.open_run(run.record()),
        reader.append(run.events[0]),
        reader.close_run(),
    ):
        with pytest.raises(StorageProblem) as problem:
            await attempt
        assert problem.value.cause is Cause.not_owner
    assert await agrees_with_a_recount(reader)
    assert contents(folder) == before


async def test_a_newer_month_is_refused_and_left_as_it_is(native: NativeStore, folder: Path) -> None:
    await filled(native)
    march = folder / "records" / "2026-03.json"
    newer = march.read_bytes().replace(b'"version": 1', b'"version": 2', 1)
    march.write_bytes(newer)
    with pytest.raises(StorageProblem) as problem:
        await native.records("2026-03")
    assert str(problem.value) == "“2026-03.json” was written by a newer version (2); it was left as it is."
    with pytest.raises(StorageProblem):
        await native.save_record(on("2026-03-20"))
    assert march.read_bytes() == newer
    assert len(await native.records("2026-02")) == 1
