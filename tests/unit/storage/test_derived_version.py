"""What is derived from sessions has one version; raising it derives all of it again, in every store.

Each test replaces what was derived with false figures, as an older meaning of a figure would have left them.
The store returns them until the version changes.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from recounted import derived, on, recounted

from engine.record.week import WeekReview
from storage import schema
from storage.browser.folds import TwoFolds, seal_of
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Ask, Document, Put
from storage.browser.store import BrowserStore
from storage.derived import Fold
from storage.files.layout import decode, encode
from storage.folder.store import FolderStore
from storage.schema import DERIVED_VERSION
from storage.store import Store

DAYS = ("2025-12-03", "2026-02-27", "2026-03-01", "2026-04-01")
FALSE_SESSIONS = 99


def falsified(text: str) -> str:
    review = WeekReview.model_validate_json(text)
    return review.model_copy(update={"sessions": FALSE_SESSIONS}).model_dump_json()


async def assert_all_is_false(store: Store) -> None:
    weeks, loads, history = await derived(store)
    assert isinstance(weeks, tuple)
    assert {week.sessions for week in weeks} == {FALSE_SESSIONS}
    assert loads == ()
    assert history == Fold().history


def falsify_files(folder: Path) -> None:
    for path in (folder / "index").iterdir():
        year = decode(path.read_bytes(), "weeks-of-a-year", path.name)
        year["weeks"] = {week: falsified(text) for week, text in year["weeks"].items()}
        path.write_bytes(encode(year, "weeks-of-a-year"))
    path = folder / "history.json"
    history = decode(path.read_bytes(), "history-folds", path.name)
    for fold in history["folds"].values():
        fold["fold"] = Fold().model_dump(mode="json")
    path.write_bytes(encode(history, "history-folds"))


async def falsify_shelves(shelves: MemoryShelves) -> None:
    weeks, records = await shelves.read(Ask("weeks"), Ask("records"))
    false_weeks = [Put("weeks", week._replace(text=falsified(week.text))) for week in weeks]
    folds = TwoFolds(made_as=DERIVED_VERSION, month="2026-04", seal=seal_of(one.key for one in records))
    await shelves.change(*false_weeks, Put("counted", Document("only", folds.model_dump_json())))


def versions_of_files(folder: Path) -> set[int]:
    found = set()
    for path, format in (
        *((path, "weeks-of-a-year") for path in (folder / "index").iterdir()),
        (folder / "history.json", "history-folds"),
    ):
        found.add(decode(path.read_bytes(), format, path.name)["made_as"]["version"])
    return found


async def test_a_raised_version_makes_everything_on_the_disk_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for day in DAYS:
        await FolderStore(folder).sessions.save(on(day, effort=6, loads_g={"one-hand-press": 5_000}))
    await derived(FolderStore(folder))
    falsify_files(folder)
    await assert_all_is_false(FolderStore(folder))
    assert versions_of_files(folder) == {DERIVED_VERSION}
    monkeypatch.setattr(schema, "DERIVED_VERSION", DERIVED_VERSION + 1)
    assert await derived(FolderStore(folder)) == await recounted(FolderStore(folder))
    assert versions_of_files(folder) == {DERIVED_VERSION + 1}


async def test_a_raised_version_makes_everything_in_the_browser_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shelves = MemoryShelves()
    for day in DAYS:
        await BrowserStore(shelves).sessions.save(on(day, effort=6, loads_g={"one-hand-press": 5_000}))
    await falsify_shelves(shelves)
    await assert_all_is_false(BrowserStore(shelves))
    monkeypatch.setattr(schema, "DERIVED_VERSION", DERIVED_VERSION + 1)
    assert await derived(BrowserStore(shelves)) == await recounted(BrowserStore(shelves))
    (folds,) = (await shelves.read(Ask("counted")))[0]
    assert TwoFolds.model_validate_json(folds.text).made_as == DERIVED_VERSION + 1
