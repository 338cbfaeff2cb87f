"""What only the store in a folder does: a second store over it, failing disks, rights, erasing."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import builders
import pytest
from recounted import LATER, agrees_with_a_recount, derived, on
from sessions_on_disk import SECRET, contents, filled, make_unreadable

from engine.movements.movement import Equipment
from engine.record.amendment import Amendment
from storage.folder.store import FolderStore
from storage.models import KitOwned
from storage.problem import Cause, StorageProblem


async def test_another_store_over_the_same_folder_finds_everything(native: FolderStore, folder: Path) -> None:
    await filled(native)
    await native.person.save_profile(builders.profile())
    await native.person.save_kit(KitOwned(absent=(Equipment.wall,)))
    await native.plans.save(builders.plan())
    later = FolderStore(folder)
    assert await later.sessions.records() == await native.sessions.records()
    assert await later.person.profile() == builders.profile()
    assert await later.person.kit() == KitOwned(absent=(Equipment.wall,))
    assert await later.plans.all() == (builders.plan(),)
    assert await later.sessions.week_index() == await native.sessions.week_index()


async def test_opening_reads_the_index_and_no_record(native: FolderStore, folder: Path) -> None:
    await filled(native)
    before = await derived(native)
    make_unreadable(folder / "sessions")
    assert await derived(FolderStore(folder)) == before


@pytest.mark.parametrize("step", range(1, 3))
async def test_a_save_that_fails_at_any_step_loses_nothing_and_can_be_done_again(
    native: FolderStore, folder: Path, monkeypatch: pytest.MonkeyPatch, step: int
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
    assert steps >= step, "the fault occurred"
    again = FolderStore(folder)
    assert [record for record in await again.sessions.records() if record != late] == list(before)
    assert await agrees_with_a_recount(again)
    assert await again.sessions.save(late)
    assert len(await again.sessions.records()) == len(before) + 1
    assert await agrees_with_a_recount(again)
    assert await again.troubles() == ()


async def test_who_is_not_the_owner_reads_and_changes_nothing(native: FolderStore, folder: Path) -> None:
    await filled(native)
    run = builders.journal()
    await native.run.open(run.record().model_copy(update={"events": ()}))
    await native.run.append(run.events[0])
    records = await native.sessions.records()
    (folder / "index" / "2026.json").unlink()
    before = contents(folder)
    reader = FolderStore(folder, may_write=lambda: False)
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


async def test_nothing_of_an_erased_record_is_left_in_any_file(native: FolderStore, folder: Path) -> None:
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
