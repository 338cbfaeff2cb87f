"""The history kept beside the sessions of a folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from recounted import LATER, agrees_with_a_recount, on
from sessions_on_disk import filled, make_unreadable

from engine.record.amendment import Amendment
from engine.record.history import history_of
from engine.record.record import SetAnswer
from storage.files.layout import decode, encode
from storage.folder.store import FolderStore
from storage.schema import DERIVED_VERSION


async def test_a_session_in_a_new_block_of_weeks_reads_no_earlier_one(
    native: FolderStore, folder: Path
) -> None:
    earlier, late = await (await filled(native)).sessions.records(), on("2026-05-13", effort=7)
    await native.sessions.history()
    make_unreadable(folder / "sessions")
    await native.sessions.save(late)
    assert await FolderStore(folder).sessions.history() == history_of([*earlier, late])


async def test_a_late_answer_to_an_earlier_session_is_in_the_history(native: FolderStore) -> None:
    first = (await (await filled(native)).sessions.records())[0]
    await native.sessions.history()
    answer = SetAnswer(load_g=2_500).model_dump(mode="json")
    late = Amendment(
        id="a", record_id=first.id, at=LATER, field="set", value={"key": first.sets[0].key, "answer": answer}
    )
    await native.sessions.amend(late)
    assert (await native.sessions.history()).exposures[0].sets[0].load_g == 2_500
    assert await agrees_with_a_recount(native)


@pytest.mark.parametrize("made_as", [DERIVED_VERSION - 1, DERIVED_VERSION])
async def test_a_history_that_was_made_otherwise_is_made_again(
    native: FolderStore, folder: Path, made_as: int
) -> None:
    """It has another version, or the current version and a form that this version never writes."""
    await (await filled(native)).sessions.history()
    path = folder / "history.json"
    as_made = decode(path.read_bytes(), "history-folds", path.name)
    unknown = {"fold": {"days": [], "unknown": 1}} if made_as == DERIVED_VERSION else {}
    folds = {name: fold | unknown for name, fold in as_made["folds"].items()}
    path.write_bytes(encode({"made_as": {"version": made_as}, "folds": folds}, "history-folds"))
    assert await agrees_with_a_recount(FolderStore(folder))
    assert decode(path.read_bytes(), "history-folds", path.name) == as_made
