"""The file of each session: its name, its generations, damage and newer versions."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from pathlib import Path

import builders
import pytest
from recounted import LATER, agrees_with_a_recount, on
from sessions_on_disk import filled, make_unreadable

from companion.words.saying import all_said
from engine.record.amendment import Amendment
from storage.files.layout import encode
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem


async def test_each_session_lies_in_a_file_of_its_own(native: FolderStore, folder: Path) -> None:
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


async def test_a_late_amendment_lies_with_its_record(native: FolderStore, folder: Path) -> None:
    await filled(native)
    await native.sessions.amend(
        Amendment(
            id="a", record_id="record-2026-02-27", at=LATER + timedelta(days=60), field="note", value="Late."
        )
    )
    session = json.loads((folder / "sessions" / "record-2026-02-27.json").read_bytes())
    assert list(session["tables"]["amendments"]) == ["a"]


@pytest.mark.parametrize("record_id", ["../../up", "CON", "a/b", "..", "", "Ünïcode 🪨", "x" * 3_000, "nul"])
async def test_an_id_never_leads_out_of_the_folder(native: FolderStore, folder: Path, record_id: str) -> None:
    record = builders.record(record_id=record_id)
    assert await native.sessions.save(record)
    assert await native.sessions.record(record_id) == record
    (path,) = (folder / "sessions").iterdir()
    assert re.fullmatch(r"_[0-9a-f]{40}\.json", path.name)


async def test_a_save_reads_and_counts_nothing_of_other_sessions(native: FolderStore, folder: Path) -> None:
    await filled(native)
    make_unreadable(folder / "sessions")
    assert await native.sessions.save(on("2026-03-03"))
    assert await native.troubles() == ()
    assert not (folder / "index").exists()


async def test_a_damaged_session_falls_back_by_one_change_and_says_so(
    native: FolderStore, folder: Path
) -> None:
    await filled(native)
    await native.sessions.amend(
        Amendment(id="a", record_id="record-2026-03-01", at=LATER, field="effort", value=9)
    )
    session = folder / "sessions" / "record-2026-03-01.json"
    session.write_bytes(session.read_bytes()[:-100])
    again = FolderStore(folder)
    assert len(await again.sessions.records("2026-03")) == 3
    assert await again.sessions.amendments_in() == ()
    (trouble,) = await again.troubles()
    assert trouble.where == "record-2026-03-01.json"
    assert await agrees_with_a_recount(again)


@pytest.mark.parametrize("first", ["index", "records"])
async def test_a_session_without_a_sound_copy_is_set_aside_and_the_rest_is_there(
    native: FolderStore, folder: Path, first: str
) -> None:
    await (await filled(native)).sessions.week_index()
    session = folder / "sessions" / "record-2026-03-01.json"
    session.write_bytes(b"\0" * 500)
    again = FolderStore(folder)
    await (again.sessions.week_index() if first == "index" else again.sessions.records())
    assert len(await again.sessions.records()) == 4
    assert await agrees_with_a_recount(again)
    (trouble,) = await again.troubles()
    assert "a backup or another device may still have it" in all_said(trouble.said)
    assert session.with_name("record-2026-03-01.json.damaged-1").read_bytes() == b"\0" * 500
    assert await again.sessions.save(on("2026-03-01", effort=6, loads_g={"one-hand-press": 5_000}))
    assert len(await again.sessions.records()) == 5


async def test_a_newer_session_is_said_and_left_as_it_is_and_the_rest_is_there(
    native: FolderStore, folder: Path
) -> None:
    await filled(native)
    session = folder / "sessions" / "record-2026-03-01.json"
    newer = session.read_bytes().replace(b'"version": 1', b'"version": 2', 1)
    session.write_bytes(newer)
    for _ in range(2):
        again = FolderStore(folder)
        assert len(await again.sessions.week_index()) == 3
        assert len(await again.sessions.records()) == 4
        assert await agrees_with_a_recount(again)
        (trouble,) = await again.troubles()
        said = "“record-2026-03-01.json” was written by a newer version (2). It was left as it is."
        assert all_said(trouble.said) == said
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
    native: FolderStore, folder: Path
) -> None:
    """The checksum is correct, but there is no valid record: another program may have written the file."""
    await filled(native)
    record = on("2026-03-01").model_dump(mode="json") | {"active_ms": "long"}
    odd = encode({"records": {record["id"]: record}}, "session-file")
    (folder / "sessions" / "record-2026-03-01.json").write_bytes(odd)
    again = FolderStore(folder)
    assert len(await again.sessions.records()) == 4
    assert await agrees_with_a_recount(again)
    (trouble,) = await again.troubles()
    assert "cannot read" in all_said(trouble.said)
    assert (folder / "sessions" / "record-2026-03-01.json").read_bytes() == odd
