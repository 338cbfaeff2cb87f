"""What only the store in a folder does: its files, its index, and its rights."""

from __future__ import annotations

import errno
import json
import os
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import builders
import pytest
from builders import STARTED_AT

from engine.movements.movement import Equipment
from engine.record.history import history_of
from engine.record.record import Amendment, Record, SetAnswer
from storage.counting import count_weeks, last_loads
from storage.files.durable import decode, encode
from storage.folder.store import NativeStore
from storage.models import KitOwned
from storage.problem import Cause, StorageProblem
from storage.store import Store, amended_records

LATER = STARTED_AT + timedelta(days=1)
SECRET = "my-own-business"


def on(day: str, **answers: Any) -> Record:
    started_at = datetime.fromisoformat(f"{day}T18:30:00+00:00")
    return builders.record(started_at=started_at, record_id=f"record-{day}", **answers)


async def filled(store: NativeStore) -> NativeStore:
    for day in ("2026-02-27", "2026-03-01", "2026-03-02", "2026-03-31", "2026-04-01"):
        await store.sessions.save(on(day, effort=6, loads_g={"one-hand-press": 5_000}))
    return store


async def derived(store: Store) -> tuple[object, ...]:
    sessions = store.sessions
    return await sessions.week_index(), await sessions.last_loads(), await sessions.history()


async def agrees_with_a_recount(store: Store) -> bool:
    records, amendments = await amended_records(store), await store.sessions.amendments_in()
    kept = await derived(store)
    return kept == (count_weeks(records), last_loads(records), history_of(records, amendments))


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def make_unreadable(sessions: Path, *names: str) -> None:
    """Spoils sessions, without a change that the index could see: whoever reads one finds it damaged."""
    for path in sessions.glob("*.json"):
        if path.stem in names or not names:
            status = path.stat()
            path.write_bytes(b"~" * status.st_size)
            os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))


async def test_another_store_over_the_same_folder_finds_everything(native: NativeStore, folder: Path) -> None:
    await filled(native)
    await native.person.save_profile(builders.profile())
    await native.person.save_kit(KitOwned(absent=(Equipment.wall,)))
    await native.plans.save(builders.plan())
    later = NativeStore(folder)
    assert await later.sessions.records() == await native.sessions.records()
    assert await later.person.profile() == builders.profile()
    assert await later.person.kit() == KitOwned(absent=(Equipment.wall,))
    assert await later.plans.all() == (builders.plan(),)
    assert await later.sessions.week_index() == await native.sessions.week_index()


async def test_each_session_lies_in_a_file_of_its_own(native: NativeStore, folder: Path) -> None:
    await filled(native)
    names = sorted(path.name for path in (folder / "sessions").iterdir())
    assert names == [
        "record-2026-02-27.json",
        "record-2026-03-01.json",
        "record-2026-03-02.json",
        "record-2026-03-31.json",
        "record-2026-04-01.json",
    ]
    one = json.loads((folder / "sessions" / names[0]).read_bytes())
    assert one["format"] == "session-file"
    assert list(one["tables"]["records"]) == ["record-2026-02-27"]


async def test_a_late_amendment_lies_with_its_record(native: NativeStore, folder: Path) -> None:
    await filled(native)
    await native.sessions.amend(
        Amendment(
            id="a", record_id="record-2026-02-27", at=LATER + timedelta(days=60), field="note", value="Late."
        )
    )
    session = json.loads((folder / "sessions" / "record-2026-02-27.json").read_bytes())
    assert list(session["tables"]["amendments"]) == ["a"]


@pytest.mark.parametrize("record_id", ["../../up", "CON", "a/b", "..", "", "Ünïcode 🪨", "x" * 3_000, "nul"])
async def test_an_id_never_leads_out_of_the_folder(native: NativeStore, folder: Path, record_id: str) -> None:
    record = builders.record(record_id=record_id)
    assert await native.sessions.save(record)
    assert await native.sessions.record(record_id) == record
    (path,) = (folder / "sessions").iterdir()
    assert re.fullmatch(r"_[0-9a-f]{40}\.json", path.name)


async def test_nothing_of_an_erased_record_is_left_in_any_file(native: NativeStore, folder: Path) -> None:
    hurt = builders.record(record_id="erase-me", note=SECRET).model_copy(
        update={"pains": (builders.pain(words=SECRET),)}
    )
    await filled(native)
    await native.sessions.save(hurt)
    note = Amendment(id="a", record_id="erase-me", at=LATER, field="note", value=SECRET)
    await native.sessions.amend(note)
    assert any(SECRET.encode() in content for content in contents(folder).values())
    await native.sessions.erase("erase-me", at=LATER)
    assert [name for name, content in contents(folder).items() if SECRET.encode() in content] == []
    assert [p.name for p in folder.glob("history.json*") if b"erase-me" in p.read_bytes()] == []
    assert await agrees_with_a_recount(native)


async def test_opening_reads_the_index_and_no_record(native: NativeStore, folder: Path) -> None:
    await filled(native)
    before = await derived(native)
    make_unreadable(folder / "sessions")
    assert await derived(NativeStore(folder)) == before


async def test_a_session_in_a_new_block_of_weeks_reads_no_earlier_one(
    native: NativeStore, folder: Path
) -> None:
    earlier, late = await (await filled(native)).sessions.records(), on("2026-05-13", effort=7)
    await native.sessions.history()
    make_unreadable(folder / "sessions")
    await native.sessions.save(late)
    assert await NativeStore(folder).sessions.history() == history_of([*earlier, late])


async def test_a_save_reads_and_counts_nothing_of_other_sessions(native: NativeStore, folder: Path) -> None:
    await filled(native)
    make_unreadable(folder / "sessions")
    assert await native.sessions.save(on("2026-03-03"))
    assert await native.troubles() == ()
    assert not (folder / "index").exists()


async def test_a_late_answer_to_an_earlier_session_is_in_the_history(native: NativeStore) -> None:
    first = (await (await filled(native)).sessions.records())[0]
    await native.sessions.history()
    answer = SetAnswer(load_g=2_500).model_dump(mode="json")
    late = Amendment(
        id="a", record_id=first.id, at=LATER, field="set", value={"key": first.sets[0].key, "answer": answer}
    )
    await native.sessions.amend(late)
    assert (await native.sessions.history()).exposures[0].sets[0].load_g == 2_500
    assert await agrees_with_a_recount(native)


@pytest.mark.parametrize("change", [{"made_as": 0}, {"fold": {"days": [], "unknown": 1}}])
async def test_a_history_that_was_made_otherwise_is_made_again(
    native: NativeStore, folder: Path, change: dict[str, Any]
) -> None:
    await (await filled(native)).sessions.history()
    path = folder / "history.json"
    folds = decode(path.read_bytes(), "history-folds", path.name)["folds"]
    path.write_bytes(
        encode({"folds": {name: fold | change for name, fold in folds.items()}}, "history-folds")
    )
    assert await agrees_with_a_recount(NativeStore(folder))
    assert decode(path.read_bytes(), "history-folds", path.name)["folds"] == folds


@pytest.mark.parametrize("loss", ["removed", "damaged", "emptied", "as it was before", "made otherwise"])
async def test_a_lost_index_is_counted_again(native: NativeStore, folder: Path, loss: str) -> None:
    await filled(native)
    await native.sessions.week_index()
    index = folder / "index" / "2026.json"
    older = index.read_bytes()
    await native.sessions.save(on("2026-03-04", effort=9))
    weeks = await native.sessions.week_index()
    if loss == "removed":
        index.unlink()
    else:
        index.write_bytes(
            {
                "damaged": index.read_bytes()[:-9],
                "emptied": b"",
                "as it was before": older,
                "made otherwise": encode(
                    {"made_as": {"figures": 0}, "weeks": {}, "sessions": {}}, "weeks-of-a-year"
                ),
            }[loss]
        )
    again = NativeStore(folder)
    assert await again.sessions.week_index() == weeks
    assert await agrees_with_a_recount(again)
    assert await again.troubles() == (), "it is only a copy"


async def test_an_index_by_a_newer_version_is_left_as_it_is_and_the_weeks_are_counted(
    native: NativeStore, folder: Path
) -> None:
    weeks, index = await (await filled(native)).sessions.week_index(), folder / "index" / "2026.json"
    newer = index.read_bytes().replace(b'"version": 2', b'"version": 3', 1)
    index.write_bytes(newer)
    assert await NativeStore(folder).sessions.week_index() == weeks
    assert index.read_bytes() == newer


async def test_the_index_follows_sessions_that_others_put_there_changed_or_took_away(
    native: NativeStore, folder: Path, tmp_path: Path
) -> None:
    await (await filled(native)).sessions.week_index()
    other = NativeStore(tmp_path / "other")
    await other.sessions.save(on("2026-03-11", effort=3))
    await other.sessions.save(on("2026-05-06", effort=3))
    for path in (tmp_path / "other" / "sessions").iterdir():
        (folder / "sessions" / path.name).write_bytes(path.read_bytes())
    for path in (folder / "sessions").glob("record-2026-04*"):
        path.unlink()
    weeks = [week.iso_week for week in await native.sessions.week_index()]
    assert weeks == ["2026-W09", "2026-W10", "2026-W11", "2026-W14", "2026-W19"]
    assert await agrees_with_a_recount(native)


async def test_a_session_that_is_counted_in_two_years_is_counted_again(
    native: NativeStore, folder: Path
) -> None:
    """A crash between two files of the index leaves an erased session in the year it was and in the year of
    its erasing."""
    await filled(native)
    await native.sessions.week_index()
    before = (folder / "index" / "2026.json").read_bytes()
    await native.sessions.erase("record-2026-03-02", at=datetime(2027, 1, 5, tzinfo=UTC))
    (folder / "index" / "2026.json").write_bytes(before)
    assert len(await NativeStore(folder).sessions.tombstones()) == 1
    assert await agrees_with_a_recount(NativeStore(folder))


async def test_a_damaged_session_falls_back_by_one_change_and_says_so(
    native: NativeStore, folder: Path
) -> None:
    await filled(native)
    await native.sessions.amend(
        Amendment(id="a", record_id="record-2026-03-01", at=LATER, field="effort", value=9)
    )
    session = folder / "sessions" / "record-2026-03-01.json"
    session.write_bytes(session.read_bytes()[:-100])
    again = NativeStore(folder)
    assert len(await again.sessions.records("2026-03")) == 3
    assert await again.sessions.amendments_in() == ()
    (trouble,) = await again.troubles()
    assert trouble.where == "record-2026-03-01.json"
    assert await agrees_with_a_recount(again)


@pytest.mark.parametrize("first", ["index", "records"])
async def test_a_session_without_a_sound_copy_is_set_aside_and_the_rest_is_there(
    native: NativeStore, folder: Path, first: str
) -> None:
    await (await filled(native)).sessions.week_index()
    session = folder / "sessions" / "record-2026-03-01.json"
    session.write_bytes(b"\0" * 500)
    again = NativeStore(folder)
    await (again.sessions.week_index() if first == "index" else again.sessions.records())
    assert len(await again.sessions.records()) == 4
    assert await agrees_with_a_recount(again)
    (trouble,) = await again.troubles()
    assert "a backup or another device may still have it" in trouble.message
    assert session.with_name("record-2026-03-01.json.damaged-1").read_bytes() == b"\0" * 500
    assert await again.sessions.save(on("2026-03-01", effort=6, loads_g={"one-hand-press": 5_000}))
    assert len(await again.sessions.records()) == 5


@pytest.mark.parametrize("step", range(1, 3))
async def test_a_save_that_fails_at_any_step_loses_nothing_and_can_be_done_again(
    native: NativeStore, folder: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    await filled(native)
    before, steps, really = await native.sessions.records(), 0, os.fsync

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
            await native.sessions.save(late)
        except StorageProblem as problem:
            assert problem.cause is Cause.disk_full  # noqa: PT017
    assert steps >= step, "the fault was met"
    again = NativeStore(folder)
    assert [record for record in await again.sessions.records() if record != late] == list(before)
    assert await agrees_with_a_recount(again)
    assert await again.sessions.save(late)
    assert len(await again.sessions.records()) == len(before) + 1
    assert await agrees_with_a_recount(again)
    assert await again.troubles() == ()


async def test_an_index_that_cannot_be_saved_does_not_keep_anyone_from_reading(
    native: NativeStore, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    weeks = await (await filled(native)).sessions.week_index()
    for path in (folder / "index").iterdir():
        path.unlink()

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "replace", full)
    assert await NativeStore(folder).sessions.week_index() == weeks
    assert list((folder / "index").iterdir()) == []


async def test_who_is_not_the_owner_reads_and_changes_nothing(native: NativeStore, folder: Path) -> None:
    await filled(native)
    run = builders.journal()
    await native.run.open(run.record().model_copy(update={"events": ()}))
    await native.run.append(run.events[0])
    records = await native.sessions.records()
    (folder / "index" / "2026.json").unlink()
    before = contents(folder)
    reader = NativeStore(folder, may_write=lambda: False)
    assert await reader.sessions.records() == records
    assert await reader.run.read() == run.record()
    for attempt in (
        reader.sessions.save(on("2026-06-01")),
        reader.sessions.amend(
            Amendment(id="a", record_id="record-2026-03-01", at=LATER, field="note", value="x")
        ),
        reader.sessions.erase("record-2026-03-01", at=LATER),
        reader.person.save_profile(builders.profile()),
        reader.person.save_kit(KitOwned()),
        reader.plans.save(builders.plan()),
        reader.run.open(run.record()),
        reader.run.append(run.events[0]),
        reader.run.close(),
    ):
        with pytest.raises(StorageProblem) as problem:
            await attempt
        assert problem.value.cause is Cause.not_owner
    assert await agrees_with_a_recount(reader)
    assert contents(folder) == before


async def test_a_newer_session_is_said_and_left_as_it_is_and_the_rest_is_there(
    native: NativeStore, folder: Path
) -> None:
    await filled(native)
    session = folder / "sessions" / "record-2026-03-01.json"
    newer = session.read_bytes().replace(b'"version": 2', b'"version": 3', 1)
    session.write_bytes(newer)
    for _ in range(2):
        again = NativeStore(folder)
        assert len(await again.sessions.week_index()) == 3
        assert len(await again.sessions.records()) == 4
        assert await agrees_with_a_recount(again)
        (trouble,) = await again.troubles()
        said = "“record-2026-03-01.json” was written by a newer version (3); it was left as it is."
        assert trouble.message == said
    for attempt in (
        again.sessions.save(on("2026-03-01")),
        again.sessions.record("record-2026-03-01"),
        again.sessions.erase("record-2026-03-01", at=LATER),
    ):
        with pytest.raises(StorageProblem) as problem:
            await attempt
        assert problem.value.cause is Cause.newer
    assert session.read_bytes() == newer


async def test_a_session_whose_content_cannot_be_understood_is_said_and_left(
    native: NativeStore, folder: Path
) -> None:
    """The checksum is right, the record is none: another program may have written it."""
    await filled(native)
    record = on("2026-03-01").model_dump(mode="json") | {"active_ms": "long"}
    odd = encode({"records": {record["id"]: record}}, "session-file")
    (folder / "sessions" / "record-2026-03-01.json").write_bytes(odd)
    again = NativeStore(folder)
    assert len(await again.sessions.records()) == 4
    assert await agrees_with_a_recount(again)
    (trouble,) = await again.troubles()
    assert "cannot read" in trouble.message
    assert (folder / "sessions" / "record-2026-03-01.json").read_bytes() == odd
