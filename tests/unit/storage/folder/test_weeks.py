"""The index of weeks kept beside the sessions of a folder."""

from __future__ import annotations

import errno
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from recounted import agrees_with_a_recount, on
from sessions_on_disk import filled

from storage.files.layout import encode
from storage.folder.store import FolderStore
from storage.schema import DERIVED_VERSION


@pytest.mark.parametrize("loss", ["removed", "damaged", "emptied", "as it was before", "made otherwise"])
async def test_a_lost_index_is_counted_again(native: FolderStore, folder: Path, loss: str) -> None:
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
                    {"made_as": {"version": DERIVED_VERSION - 1}, "weeks": {}, "sessions": {}},
                    "weeks-of-a-year",
                ),
            }[loss]
        )
    again = FolderStore(folder)
    assert await again.sessions.week_index() == weeks
    assert await agrees_with_a_recount(again)
    assert await again.troubles() == (), "an index is only a copy, so its loss is no trouble"


async def test_an_index_by_a_newer_version_is_left_as_it_is_and_the_weeks_are_counted(
    native: FolderStore, folder: Path
) -> None:
    weeks, index = await (await filled(native)).sessions.week_index(), folder / "index" / "2026.json"
    newer = index.read_bytes().replace(b'"version": 1', b'"version": 2', 1)
    index.write_bytes(newer)
    assert await FolderStore(folder).sessions.week_index() == weeks
    assert index.read_bytes() == newer


async def test_the_index_follows_sessions_that_others_put_there_changed_or_took_away(
    native: FolderStore, folder: Path, tmp_path: Path
) -> None:
    await (await filled(native)).sessions.week_index()
    other = FolderStore(tmp_path / "other")
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
    native: FolderStore, folder: Path
) -> None:
    """A crash between two files of the index leaves an erased session both in the year of the session and in
    the year of its erasing."""
    await filled(native)
    await native.sessions.week_index()
    before = (folder / "index" / "2026.json").read_bytes()
    await native.sessions.erase("record-2026-03-02", at=datetime(2027, 1, 5, tzinfo=UTC))
    (folder / "index" / "2026.json").write_bytes(before)
    assert len(await FolderStore(folder).sessions.tombstones()) == 1
    assert await agrees_with_a_recount(FolderStore(folder))


async def test_an_index_that_cannot_be_saved_does_not_keep_anyone_from_reading(
    native: FolderStore, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    weeks = await (await filled(native)).sessions.week_index()
    for path in (folder / "index").iterdir():
        path.unlink()

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "replace", full)
    assert await FolderStore(folder).sessions.week_index() == weeks
    assert list((folder / "index").iterdir()) == []
