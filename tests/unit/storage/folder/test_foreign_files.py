"""What other programs keep in a data folder, or where one was only said to be, is never touched."""

from __future__ import annotations

from pathlib import Path

import builders
import pytest
from recounted import LATER, on
from sessions_on_disk import contents, filled

from storage.exchange.backup import Holdings
from storage.exchange.device_files import DiskFolder
from storage.exchange.restore import replace_all
from storage.exchange.shared_folder import merge_through
from storage.folder.erase import own_files
from storage.folder.store import FolderStore
from storage.models import KitOwned, SavedDraft, Settings, WeekNote
from storage.problem import Cause, StorageProblem

FOREIGN = {
    "thesis.odt": b"PK\x03\x04",
    ".git/config": b"[core]\n",
    ".git/index.json": b"{}",
    ".letter.txt.new": b"Dear",
    ".profile.json.swp": b"vim",
    "deep/down/.mail.passing": b"mail",
    "photo.jpg.damaged-1": b"\xff\xd8",
    "kit.json.damaged-by-me": b"mine",
    "running.jsonl.bak": b"mine",
    "device-1.json": b"{}",
    "sessions/readme.txt": b"mine",
    "sessions/holiday.json": b'{"place": "Crete"}',
    "sessions/con.json": b'{"place": "Crete"}',
    "index/books.json": b'{"title": "Moby"}',
    "index/2019.json": b'[1, 2, "a foreign list"]',
}


def put_foreign_files(folder: Path) -> dict[str, bytes]:
    for name, content in FOREIGN.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return FOREIGN


def foreign_in(folder: Path) -> dict[str, bytes]:
    return {name: content for name, content in contents(folder).items() if name in FOREIGN}


async def test_erasing_everything_leaves_what_other_programs_keep(native: FolderStore, folder: Path) -> None:
    await filled(native)
    await native.person.save_profile(builders.profile())
    await native.plans.save(builders.plan())
    foreign = put_foreign_files(folder)
    assert len(await native.erase_all(at=LATER)) == 5
    assert foreign_in(folder) == foreign
    assert not (folder / "plans.json").exists()
    assert not (folder / "profile.json").exists()
    assert await native.sessions.records() == ()
    assert len(await native.sessions.tombstones()) == 5


async def test_erasing_one_session_leaves_what_other_programs_keep(native: FolderStore, folder: Path) -> None:
    await filled(native)
    foreign = put_foreign_files(folder)
    (folder / "photo-record-2026-03-01.damaged-1").write_bytes(b'"record-2026-03-01"')
    await native.sessions.erase("record-2026-03-01", at=LATER)
    assert foreign_in(folder) == foreign
    assert (folder / "photo-record-2026-03-01.damaged-1").exists()
    assert len(await native.sessions.records()) == 4


async def test_reading_and_saving_leave_what_other_programs_keep(native: FolderStore, folder: Path) -> None:
    foreign = put_foreign_files(folder)
    await filled(native)
    assert len(await native.sessions.records()) == 5
    assert foreign_in(folder) == foreign
    assert [trouble.where for trouble in await native.troubles()] == ["holiday.json"]


async def test_restoring_leaves_what_other_programs_keep_and_nothing_of_before(
    native: FolderStore, folder: Path
) -> None:
    await filled(native)
    await native.person.save_kit(KitOwned())
    await native.person.save_kit(KitOwned(absent=("wall",)))
    foreign = put_foreign_files(folder)
    stays = on("2026-03-01", effort=6, loads_g={"one-hand-press": 5_000})
    await replace_all(native, Holdings(records=(stays,)))
    assert foreign_in(folder) == foreign
    assert await native.sessions.records() == (stays,)
    assert [path for path in folder.glob("kit.json*") if path.name not in FOREIGN] == []


async def test_merging_leaves_what_other_programs_keep_on_both_sides(
    native: FolderStore, folder: Path, tmp_path: Path
) -> None:
    await filled(native)
    shared = tmp_path / "shared"
    foreign = put_foreign_files(folder), put_foreign_files(shared)
    await merge_through(native, DiskFolder(shared))
    assert (foreign_in(folder), foreign_in(shared)) == foreign
    assert len(await native.sessions.records()) == 5


async def test_a_file_of_another_program_under_one_of_our_names_is_said_and_left(
    native: FolderStore, folder: Path
) -> None:
    folder.mkdir()
    (folder / "settings.json").write_bytes(b'{"theme": "monokai", "version": 2}')
    with pytest.raises(StorageProblem) as problem:
        await native.person.settings()
    assert problem.value.cause is Cause.not_understood
    with pytest.raises(StorageProblem):
        await native.erase_all(at=LATER)
    assert contents(folder) == {"settings.json": b'{"theme": "monokai", "version": 2}'}


async def test_a_folder_that_holds_nothing_of_ours_is_not_erased(native: FolderStore, folder: Path) -> None:
    foreign = put_foreign_files(folder)
    with pytest.raises(StorageProblem) as problem:
        await native.erase_all(at=LATER)
    assert problem.value.cause is Cause.not_ours
    assert contents(folder) == foreign


async def test_every_file_that_the_store_writes_counts_as_ours(native: FolderStore, folder: Path) -> None:
    await filled(native)
    await native.sessions.history()
    await native.sessions.week_index()
    await native.device()
    person = native.person
    await person.save_profile(builders.profile())
    await person.save_kit(KitOwned())
    await person.save_settings(Settings())
    await person.save_week_note(WeekNote(iso_week="2026-W10"))
    await native.plans.save(builders.plan())
    await native.plans.save_draft(SavedDraft(id="draft", content={}))
    await native.run.open(builders.journal().record().model_copy(update={"events": ()}))
    ours = {str(one.path.relative_to(folder)) for one in own_files(folder)}
    assert ours == contents(folder).keys()
    concerns = {name.removesuffix(".json") for name in ours if "/" not in name}
    assert concerns >= {"profile", "kit", "settings", "week-notes", "plans", "drafts", "device", "history"}
