"""backup, restore, merge and erase, called as a person calls them."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from pathlib import Path

import builders
import pytest
from builders import STARTED_AT

from companion.cli import main as cli
from engine.movements.movement import Kit
from engine.record.amendment import Amendment
from storage.exchange.backup import Holdings, gather, write_backup
from storage.files.computer import Computer, ComputerMark
from storage.folder.owner import FolderLock
from storage.folder.store import FolderStore
from storage.models import CopiesKept, KitOwned, Settings

Output = pytest.CaptureFixture[str]
SECRET = "my-own-business"


async def _fill(folder: Path, *ids: str, kit: Kit = Kit.single) -> None:
    store = FolderStore(folder)
    await store.person.save_profile(builders.profile())
    await store.person.save_kit(KitOwned(dumbbells=kit))
    await store.plans.save(builders.plan())
    for record_id in ids:
        await store.sessions.save(builders.record(record_id=record_id, note=SECRET))


def fill(folder: Path, *ids: str, kit: Kit = Kit.single) -> Path:
    asyncio.run(_fill(folder, *ids, kit=kit))
    return folder


def held(folder: Path) -> Holdings:
    return asyncio.run(gather(FolderStore(folder))).holdings


def ids(folder: Path) -> list[str]:
    return sorted(record.id for record in held(folder).records)


def run(output: Output, *words: object) -> tuple[int, str, str]:
    code = cli.main([str(word) for word in words])
    said = output.readouterr()
    assert "Traceback" not in said.out + said.err
    return code, said.out, said.err


def test_a_backup_restored_into_a_new_folder_holds_the_same(tmp_path: Path, capsys: Output) -> None:
    folder, out = fill(tmp_path / "kept", "record-1", "record-2"), tmp_path / "backup.json"
    assert run(capsys, "backup", folder, "--out", out) == (
        0,
        f"{out}: 1 profile, 1 kit, 1 plan and 2 sessions.\n",
        "",
    )
    code, said, _ = run(capsys, "restore", out, tmp_path / "new")
    assert (code, said) == (0, f"{out}: 1 profile, 1 kit, 1 plan and 2 sessions.\n")
    assert held(tmp_path / "new") == held(folder)
    assert run(capsys, "restore", out, tmp_path / "new")[1] == f"{out}: nothing new.\n"


def test_a_backup_that_is_there_is_replaced_only_when_it_is_said(tmp_path: Path, capsys: Output) -> None:
    folder, out = fill(tmp_path / "kept", "record-1"), tmp_path / "backup.json"
    out.write_bytes(b"mine")
    code, _, said = run(capsys, "backup", folder, "--out", out)
    assert (code, said) == (2, f"“{out}” is there already: name another file, or add --replace.\n")
    assert out.read_bytes() == b"mine"
    assert run(capsys, "backup", folder, "--out", out, "--replace")[0] == 0
    assert out.read_bytes() != b"mine"


def test_restoring_in_place_of_everything(tmp_path: Path, capsys: Output) -> None:
    folder, out = fill(tmp_path / "kept", "record-1"), tmp_path / "backup.json"
    run(capsys, "backup", folder, "--out", out)
    before = held(folder)
    fill(folder, "record-2", kit=Kit.pair)
    full = held(folder)
    code, said, error = run(capsys, "restore", out, folder, "--replace")
    assert (code, said) == (2, "")
    assert error == "You would lose: 1 kit and 1 session. To do it, add --yes.\n"
    assert held(folder) == full
    assert run(capsys, "restore", out, folder, "--replace", "--yes")[0] == 0
    assert held(folder) == before
    assert run(capsys, "restore", out, folder, "--replace")[0] == 0, "nothing would go"


def test_a_backup_erases_nothing_here_unless_it_is_said(tmp_path: Path, capsys: Output) -> None:
    folder, other = fill(tmp_path / "kept", "record-1"), fill(tmp_path / "other", "record-1")
    run(capsys, "erase", other, "record-1")
    run(capsys, "backup", other, "--out", tmp_path / "backup.json")
    code, said, _ = run(capsys, "restore", tmp_path / "backup.json", folder)
    assert code == 1
    assert "Erased where it was made, still here: 1 session." in said
    assert ids(folder) == ["record-1"]
    code, said, _ = run(capsys, "restore", tmp_path / "backup.json", folder, "--erase")
    assert (code, said) == (0, f"{tmp_path / 'backup.json'}: now erased here too: 1 session.\n")
    assert ids(folder) == []


@pytest.mark.parametrize("content", [b"", b"{}", b"PK\x03\x04", b"[" * 5_000])
def test_what_is_no_backup_is_refused_and_changes_nothing(
    tmp_path: Path, capsys: Output, content: bytes
) -> None:
    folder, out = fill(tmp_path / "kept", "record-1"), tmp_path / "backup.json"
    out.write_bytes(content)
    before = held(folder)
    for words in (("restore", out, folder), ("restore", out, folder, "--replace")):
        code, said, error = run(capsys, *words)
        assert (code, said) == (2, "")
        assert error.count("\n") == 1
        assert "cannot be read as a backup" in error
    assert held(folder) == before


def test_two_devices_share_their_records_and_are_asked_about_their_kits(
    tmp_path: Path, capsys: Output
) -> None:
    desk = fill(tmp_path / "desk", "record-1")
    phone = fill(tmp_path / "phone", "record-2", kit=Kit.pair)
    shared = tmp_path / "shared"
    shared.mkdir()
    assert run(capsys, "merge", desk, "--with", shared)[1].startswith("No other device")
    code, said, _ = run(capsys, "merge", phone, "--with", shared)
    assert code == 1
    assert "1 session." in said
    assert "In two versions: the kit. Yours stays for now." in said
    assert "Dumbbells: ours two dumbbells; theirs one dumbbell" in said
    assert run(capsys, "merge", phone, "--with", shared, "--keep", "theirs")[0] == 0
    code, said, _ = run(capsys, "merge", desk, "--with", shared)
    assert (code, ids(desk), ids(phone)) == (0, ["record-1", "record-2"], ["record-1", "record-2"])
    assert held(desk) == held(phone)
    assert len(list(shared.iterdir())) == 4, "each wrote a month of sessions, and the rest"


def test_both_versions_of_a_plan_can_be_kept(tmp_path: Path, capsys: Output) -> None:
    desk, phone, shared = fill(tmp_path / "desk"), fill(tmp_path / "phone"), tmp_path / "shared"
    shared.mkdir()
    asyncio.run(FolderStore(phone).plans.save(builders.plan(name="Another name")))
    run(capsys, "merge", desk, "--with", shared)
    assert run(capsys, "merge", phone, "--with", shared)[0] == 1
    assert run(capsys, "merge", phone, "--with", shared, "--keep", "both")[0] == 0
    assert sorted(plan.name for plan in held(phone).plans) == sorted([builders.plan().name, "Another name"])
    assert run(capsys, "merge", phone, "--with", shared)[0] == 0, "it is asked once"


def test_another_persons_device_is_left_out_unless_it_is_said(tmp_path: Path, capsys: Output) -> None:
    desk, phone = fill(tmp_path / "desk", "record-1"), fill(tmp_path / "phone", "record-2")
    shared = tmp_path / "shared"
    shared.mkdir()
    asyncio.run(
        FolderStore(phone).person.save_profile(builders.profile(trainee_id="other", name="Odile Brandt"))
    )
    run(capsys, "merge", desk, "--with", shared)
    code, _, said = run(capsys, "merge", phone, "--with", shared)
    assert code == 0
    assert "somebody else" in said
    assert ids(phone) == ["record-2"]
    assert run(capsys, "merge", phone, "--with", shared, "--same-person", "--keep", "theirs")[0] == 0
    assert ids(phone) == ["record-1", "record-2"]


def test_a_damaged_file_of_another_device_is_left_out_and_the_rest_is_merged(
    tmp_path: Path, capsys: Output
) -> None:
    desk, phone = fill(tmp_path / "desk", "record-1"), fill(tmp_path / "phone", "record-2")
    shared = tmp_path / "shared"
    shared.mkdir()
    run(capsys, "merge", desk, "--with", shared)
    half = "session-companion-8d2f6b7e-93a4-4f5b-8a61-3c0d5e7f9b12.json"
    (shared / half).write_bytes(next(shared.iterdir()).read_bytes()[:-200])
    code, _, said = run(capsys, "merge", phone, "--with", shared)
    assert code == 0
    assert f"“{half}” was left out" in said
    assert ids(phone) == ["record-1", "record-2"]


def test_nothing_of_an_erased_session_is_left_and_no_merge_brings_it_back(
    tmp_path: Path, capsys: Output
) -> None:
    desk, phone = fill(tmp_path / "desk", "record-1", "record-2"), fill(tmp_path / "phone", "record-1")
    shared = tmp_path / "shared"
    shared.mkdir()
    asyncio.run(_amend_and_damage(desk))
    for folder in (desk, phone):
        run(capsys, "merge", folder, "--with", shared)
    code, said, _ = run(capsys, "erase", desk, "record-1")
    assert code == 0
    assert said.startswith("Erased: the session of ")
    assert "other devices" in said
    run(capsys, "erase", desk, "record-2")
    assert [path for path in desk.rglob("*") if path.is_file() and SECRET.encode() in path.read_bytes()] == []
    for folder in (desk, phone, desk):
        run(capsys, "merge", folder, "--with", shared)
    assert (ids(desk), ids(phone)) == ([], [])
    everywhere = [path for folder in (desk, phone, shared) for path in folder.rglob("*") if path.is_file()]
    assert [path for path in everywhere if SECRET.encode() in path.read_bytes()] == []


async def _amend_and_damage(folder: Path) -> None:
    """Earlier versions of files, an index and files set aside, all with the words of one session."""
    store = FolderStore(folder)
    note = Amendment(id="a", record_id="record-1", at=STARTED_AT, field="note", value=SECRET)
    await store.sessions.amend(note)
    await store.sessions.week_index()
    session = folder / "sessions" / "record-1.json"
    session.write_bytes(session.read_bytes()[:-5])
    await FolderStore(folder).sessions.records()
    await store.sessions.amend(note.model_copy(update={"id": "b", "at": STARTED_AT + timedelta(hours=1)}))
    (folder / "sessions" / ".record-1.json.new").write_bytes(session.read_bytes())
    (folder / "pain-notes.json.damaged-1").write_bytes(session.read_bytes()[40:])
    run = builders.journal().record().model_copy(update={"run_id": "record-1", "events": ()})
    (folder / "running.jsonl.damaged-1").write_bytes(run.model_dump_json().encode() + SECRET.encode())
    assert sum(SECRET.encode() in path.read_bytes() for path in folder.rglob("*") if path.is_file()) >= 6


def test_erasing_everything_leaves_only_ids(tmp_path: Path, capsys: Output) -> None:
    folder = fill(tmp_path / "kept", "record-1", "record-2")
    asyncio.run(_amend_and_damage(folder))
    code, said, _ = run(capsys, "erase", folder, "--all")
    assert code == 0
    assert "2 sessions" in said
    after = held(folder)
    assert [stone.record_id for stone in after.tombstones] == ["record-1", "record-2"]
    assert after._replace(tombstones=()) == Holdings()
    left = {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}
    assert {name.split("/")[0] for name in left} == {"sessions", "index", "owner.lock"}
    words = (SECRET, builders.profile().name, builders.plan().name)
    assert not [name for name in left for word in words if word.encode() in (folder / name).read_bytes()]


def test_a_folder_that_another_program_has_open_is_left_alone(tmp_path: Path, capsys: Output) -> None:
    folder = fill(tmp_path / "kept", "record-1")
    lock = FolderLock(folder)
    assert lock.take()
    try:
        for words in (("erase", folder, "record-1"), ("erase", folder, "--all")):
            code, said, error = run(capsys, *words)
            assert (code, said) == (2, "")
            assert "only reads" in error
        assert run(capsys, "backup", folder, "--out", tmp_path / "b.json")[0] == 0, (
            "reading is always possible"
        )
    finally:
        lock.release()
    assert ids(folder) == ["record-1"]


@pytest.mark.parametrize(
    "words",
    [("backup", "nowhere", "--out", "x"), ("erase", "nowhere", "--all"), ("merge", "nowhere", "--with", ".")],
)
def test_a_folder_that_is_not_there_is_said(tmp_path: Path, capsys: Output, words: tuple[str, ...]) -> None:
    code, said, error = run(capsys, *words)
    assert (code, said, error) == (2, "", "There is no folder “nowhere”.\n")


@pytest.mark.parametrize("which", ["--all", "record-1"])
def test_erasing_refuses_a_folder_that_holds_nothing_of_ours(
    tmp_path: Path, capsys: Output, which: str
) -> None:
    """It once removed every file under the folder it was given."""
    files = {"thesis.odt": b"PK", ".git/config": b"[core]", "settings.json": b'{"tab": 4}'}
    for name, content in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(content)
    code, said, error = run(capsys, "erase", tmp_path, which)
    assert (code, said) == (2, "")
    assert error == f"“{tmp_path.name}” holds none of the companion’s files. Nothing was erased.\n"
    held = {str(p.relative_to(tmp_path)): p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    assert held == files


def test_a_plan_or_an_adjustment_that_was_removed_does_not_come_back_with_the_next_merge(
    tmp_path: Path, capsys: Output
) -> None:
    desk, phone = fill(tmp_path / "desk", "record-1"), fill(tmp_path / "phone", "record-1")
    shared, asked = tmp_path / "shared", builders.adjustment()
    shared.mkdir()
    asyncio.run(FolderStore(desk).person.save_adjustment(asked))
    for folder in (desk, phone):
        run(capsys, "merge", folder, "--with", shared)
    asyncio.run(FolderStore(phone).plans.remove(builders.plan().id))
    asyncio.run(FolderStore(phone).person.remove_adjustment(asked))
    for folder in (desk, phone, phone):
        run(capsys, "merge", folder, "--with", shared)
    assert (held(phone).plans, held(phone).adjustments) == ((), ())
    assert held(desk).plans == (builders.plan(),), "another device keeps its own until it is removed there"
    asyncio.run(FolderStore(phone).plans.save(builders.plan()))
    run(capsys, "merge", phone, "--with", shared)
    assert held(phone).plans == (builders.plan(),)


def test_a_folder_that_another_computer_has_open_is_refused_with_its_name(
    tmp_path: Path, capsys: Output
) -> None:
    folder = fill(tmp_path / "kept", "record-1")
    ComputerMark(folder, Computer("1" * 16, "laptop")).set()
    code, said, error = run(capsys, "erase", folder, "record-1")
    assert (code, said) == (2, "")
    assert error.startswith("The computer “laptop” has these files open, or ended without closing them")
    assert ids(folder) == ["record-1"]


def test_what_is_erased_or_brought_in_here_is_copied_anew_into_the_folder_that_was_chosen_in_the_window(
    tmp_path: Path, capsys: Output
) -> None:
    folder, later = fill(tmp_path / "kept", "record-1"), STARTED_AT + timedelta(days=31)
    chosen = Settings(copies=CopiesKept(folder="Training"))
    asyncio.run(FolderStore(folder).person.save_settings(chosen))
    run(capsys, "erase", folder, "record-1")
    held = Holdings(records=(builders.record(record_id="april", started_at=later),))
    (tmp_path / "april.json").write_bytes(write_backup(held))
    run(capsys, "restore", tmp_path / "april.json", folder)
    copies = asyncio.run(FolderStore(folder).person.settings()).copies
    assert copies is not None
    assert copies.waiting == ("2026-03", "2026-04")
