"""What the disk refused once is made good before anything counts as saved."""

from __future__ import annotations

import errno
from collections.abc import Awaitable, Callable
from contextlib import suppress
from pathlib import Path

import builders
import pytest
from changes import LATER, PAIN_SECRET, RUN, noted
from disk_model import Disk, failing_at

from storage.files.there import is_file, is_folder, is_there
from storage.folder.store import FolderStore
from storage.models import Tombstone
from storage.problem import Cause, StorageProblem

OPENING = RUN.record().model_copy(update={"events": ()})


async def steps_of(folder: Path, act: Callable[[FolderStore], Awaitable[object]]) -> int:
    folder.mkdir()
    with Disk(folder).in_use() as disk:
        await act(FolderStore(folder / "kept"))
    return disk.steps


def test_a_disk_that_does_not_answer_is_no_empty_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """``Path.exists`` says no on Python 3.14: plans would be begun again and the old ones lost."""
    assert not is_there(tmp_path / "a" / "b")
    assert is_folder(tmp_path)
    assert not is_file(tmp_path)

    def fails(*_: object, **__: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(Path, "stat", fails)
    for ask in (is_there, is_folder, is_file):
        with pytest.raises(OSError, match="Input/output"):
            ask(tmp_path)


async def test_plans_are_not_begun_again_where_the_disk_does_not_say_whether_they_are_there(
    tmp_path: Path,
) -> None:
    store = FolderStore(tmp_path / "kept")
    await store.plans.save(builders.plan())
    for step in range(1, 8):
        disk = Disk(tmp_path, fails=failing_at(step, errno.EIO, times=2))
        with disk.in_use(), suppress(StorageProblem):
            await store.plans.save(builders.plan(id="another"))
        assert await FolderStore(tmp_path / "kept").plans.one("test-plan") == builders.plan()


async def test_a_folder_whose_name_was_not_synced_is_synced_before_a_second_try_counts(
    tmp_path: Path,
) -> None:
    steps = await steps_of(tmp_path / "counted", lambda store: store.person.save_profile(builders.profile()))
    for step in range(1, steps + 1):
        folder = tmp_path / f"step-{step}"
        folder.mkdir()
        disk = Disk(folder, fails=failing_at(step, errno.EIO), seed=step)
        with disk.in_use():
            store = FolderStore(folder / "kept")
            with pytest.raises(StorageProblem):
                await store.person.save_profile(builders.profile())
            disk.mend()
            await store.person.save_profile(builders.profile())
            disk.die()
        assert await FolderStore(folder / "kept").person.profile() == builders.profile(), f"step {step}"


@pytest.mark.parametrize("times", [1, 2])
async def test_an_event_whose_sync_failed_is_written_again_before_it_counts(
    tmp_path: Path, times: int
) -> None:
    """The sync after a failed one says nothing, and saves nothing of what was written before it."""
    for step in range(1, 12):
        folder = tmp_path / f"{step}"
        store = FolderStore(folder / "kept")
        await store.run.open(OPENING)
        disk = Disk(folder, fails=failing_at(step, errno.EIO, times=times), seed=step)
        with disk.in_use():
            try:
                await store.run.append(RUN.events[0])
            except StorageProblem:
                disk.mend()
                await store.run.append(RUN.events[0])
            disk.die()
        run = await FolderStore(folder / "kept").run.read()
        assert run is not None
        assert run.events == tuple(RUN.events[:1]), f"step {step}"


async def test_a_start_that_was_refused_half_way_is_no_session_and_bars_none(tmp_path: Path) -> None:
    another = OPENING.model_copy(update={"run_id": "run-2"})
    for step in range(1, 12):
        folder = tmp_path / f"{step}"
        folder.mkdir()
        store = FolderStore(folder / "kept")
        await store.person.save_profile(builders.profile())
        with Disk(folder, fails=failing_at(step, errno.ENOSPC)).in_use():
            try:
                await store.run.open(OPENING)
            except StorageProblem:
                await store.run.open(another)
        run = await store.run.read()
        assert run in (OPENING, another)
        await store.run.append(RUN.events[0])
        assert await store.run.read() == run.model_copy(update={"events": tuple(RUN.events[:1])})


async def test_a_pain_note_that_a_crash_left_after_its_tombstone_is_removed_at_the_next_look(
    tmp_path: Path,
) -> None:
    store = FolderStore(tmp_path)
    await store.sessions.save_pain_note(noted(words=PAIN_SECRET))
    store.sessions.files.erase(Tombstone(record_id="pain-note-1", erased_at=LATER))
    assert await FolderStore(tmp_path, may_write=lambda: False).sessions.pain_notes() == ()
    assert PAIN_SECRET.encode() in (tmp_path / "pain-notes.json").read_bytes()
    assert await FolderStore(tmp_path).sessions.pain_notes() == ()
    left = [
        path for path in tmp_path.rglob("*") if path.is_file() and PAIN_SECRET.encode() in path.read_bytes()
    ]
    assert left == []


async def test_a_record_that_was_refused_half_way_makes_room_for_what_is_said_after(tmp_path: Path) -> None:
    said_after = builders.record(note="Said after the disk had refused.")
    steps = await steps_of(tmp_path / "counted", lambda store: store.sessions.save(builders.record()))
    for step in range(1, steps + 1):
        folder = tmp_path / f"step-{step}"
        folder.mkdir()
        disk = Disk(folder, fails=failing_at(step, errno.EIO))
        with disk.in_use():
            store = FolderStore(folder / "kept")
            with pytest.raises(StorageProblem):
                await store.sessions.save(builders.record())
            disk.mend()
            assert await store.sessions.save(said_after)
        assert await FolderStore(folder / "kept").sessions.records() == (said_after,), f"step {step}"
        with pytest.raises(StorageProblem) as problem:
            await store.sessions.save(builders.record())
        assert problem.value.cause is Cause.already_saved
