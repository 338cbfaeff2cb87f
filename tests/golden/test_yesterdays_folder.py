"""The upgrade rehearsal of the data folder: what yesterday's code wrote, opened by today's, and the way back.

Yesterday's folder and code are frozen (tests/support/golden/rehearsal.py). Until 1.0.0 both have the same
version of every format; so what upgrades and goes back is a next version that is invented: today's code with
raised versions and one step.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from recording_cues import RecordingCuePlayer
from recounted import agrees_with_a_recount
from rehearsal import CODE, FOLDER, RENAMED, TOLD, called, day_after, yesterdays_folder
from year_before import RUN_ID, WHO, told

from companion.cli.main import main
from companion.services.clock import SystemClock
from companion.window.folder_records import FolderRecords
from companion.window.window import Window
from companion.words.faults import why
from engine.base.model import Model
from storage import schema
from storage.folder.owner import Owners
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem
from storage.store import Store

TOLD_YESTERDAY: dict[str, Any] = json.loads(TOLD.read_text("utf-8"))
LARGEST_BYTES = 2_000_000
GO_ON = "from year_before import next_day; next_day(sys.argv[1], sys.argv[2])"
LOCK = "owner.lock"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return yesterdays_folder(tmp_path / "kept")


@pytest.fixture(scope="module")
def next_version(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The checkout of the next version."""
    return day_after(tmp_path_factory.mktemp("next") / "checkout")


def files_in(folder: Path) -> dict[str, bytes]:
    found = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    return {name: path.read_bytes() for name, path in found.items() if name != LOCK}


def documents_in(folder: Path) -> dict[str, dict[str, Any]]:
    """Every document that yesterday's code wrote, by its file and its key, read without code of ours."""
    found: dict[str, dict[str, Any]] = {}
    for path in sorted([*folder.glob("*.json"), *folder.glob("sessions/*.json")]):
        if path.name == "history.json":  # derived
            continue
        name = "sessions" if path.parent != folder else path.stem
        for table in json.loads(path.read_bytes())["tables"].values():
            found.setdefault(name, {}).update(table)
    return found


def lost(now: Iterable[Model], written: dict[str, Any]) -> list[Any]:
    """The documents that were written and are not there now, each with all it was written with."""
    there = [one.model_dump(mode="json") for one in now]
    assert len(there) == len(written)
    return [then for then in written.values() if not any(holds(one, then) for one in there)]


def holds(now: Any, then: Any) -> bool:
    """Whether a document still has every field that it was written with; it may have gained others."""
    if isinstance(then, dict) and isinstance(now, dict):
        return all(name in now and holds(now[name], value) for name, value in then.items())
    if isinstance(then, list) and isinstance(now, list):
        return len(now) == len(then) and all(map(holds, now, then))
    return bool(now == then)


def test_what_is_frozen_is_small_and_of_somebody_who_did_a_lot(folder: Path) -> None:
    assert sum(path.stat().st_size for path in (CODE, FOLDER, TOLD)) < LARGEST_BYTES
    counts, weeks = TOLD_YESTERDAY["counts"], TOLD_YESTERDAY["sessions by week"]
    assert min(counts.values()) > 0
    assert counts["records"] == sum(weeks.values()) > 100
    assert len(weeks) > 40
    kinds = Counter(name.partition("/")[0] for name in files_in(folder))
    assert kinds["sessions"] >= counts["records"] + counts["tombstones"]


@pytest.mark.parametrize("may_write", [True, False])
async def test_today_counts_in_yesterdays_folder_what_yesterday_counted(
    folder: Path, may_write: bool
) -> None:
    before = files_in(folder)
    store = FolderStore(folder, may_write=lambda: may_write)
    assert await told(store) == TOLD_YESTERDAY
    assert await store.troubles() == ()
    if may_write:
        assert await agrees_with_a_recount(store)
    else:
        assert files_in(folder) == before


async def test_no_document_of_yesterdays_folder_is_lost_or_changed(folder: Path) -> None:
    assert schema.VERSION == 1, "compare with what the steps make of yesterday's documents"
    written, store = documents_in(folder), FolderStore(folder)
    person, plans, sessions = store.person, store.plans, store.sessions
    today, profile, kit = await person.said_today(), await person.profile(), await person.kit()
    assert today
    assert profile
    assert kit
    held = (*await sessions.records(), *await sessions.amendments_in(), *await sessions.tombstones())
    now: dict[str, Iterable[Model]] = {
        "profile": [profile],
        "kit": [kit],
        "settings": [await person.settings()],
        "today": [today],
        "adjustments": await person.adjustments(),
        "week-notes": await person.week_notes(),
        "plans": await plans.all(),
        "drafts": await plans.drafts(),
        "pain-notes": await sessions.pain_notes(),
        "sessions": held,
    }
    assert now.keys() == written.keys() - {"removed"}
    assert {name: lost(now[name], written[name]) for name in now} == {name: [] for name in now}
    assert await store.removed() == frozenset(written["removed"])


async def test_the_session_that_yesterday_left_in_the_middle_goes_on_today(folder: Path) -> None:
    before = (folder / "running.jsonl").read_bytes()
    window = await opened(folder)
    assert window.state.run.live is not None
    assert window.state.run.live.run_id == RUN_ID
    assert window.state.screen == "running"
    assert window.state.home.profile is not None
    assert window.state.home.profile.name == f"Person {WHO}"
    assert window.state.problem == ""
    assert (folder / "running.jsonl").read_bytes().startswith(before)
    await window.do.session.end_early()
    await window.do.log.save()
    assert len(await FolderStore(folder).sessions.records()) == TOLD_YESTERDAY["counts"]["records"] + 1


async def test_what_was_derived_yesterday_is_derived_again_under_another_number(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    yesterdays = {name: content for name, content in files_in(folder).items() if is_derived(name)}
    assert len(yesterdays) >= 2
    monkeypatch.setattr(schema, "DERIVED_VERSION", schema.DERIVED_VERSION + 1)
    store = FolderStore(folder)
    assert await told(store) == TOLD_YESTERDAY
    assert await agrees_with_a_recount(store)
    number = f'"version":{schema.DERIVED_VERSION}'.encode()
    todays = {name: content for name, content in files_in(folder).items() if is_derived(name)}
    assert todays.keys() == yesterdays.keys()
    assert all(number in content for content in todays.values())
    assert not any(number in content for content in yesterdays.values())


def is_derived(name: str) -> bool:
    return name.startswith("index/") or name == "history.json"


async def test_the_next_version_takes_the_step_and_loses_nothing(folder: Path, next_version: Path) -> None:
    """What its own code counts, run by itself."""
    said = json.loads(called(next_version, "from year_before import tell; tell(sys.argv[1])", str(folder)))
    assert said == TOLD_YESTERDAY
    called(next_version, GO_ON, str(folder), "profile")
    assert json.loads((folder / "profile.json").read_bytes().partition(b"\n")[0] + b"{}}")["version"] == 2
    assert f"Person {WHO}{RENAMED}".encode() in (folder / "profile.json").read_bytes()


@pytest.mark.parametrize("what", ["profile", "settings", "session", "run"])
async def test_a_folder_that_a_newer_version_has_changed_is_said_to_be_newer_and_left_as_it_is(
    folder: Path, next_version: Path, what: str
) -> None:
    if what == "run":
        running = folder / "running.jsonl"
        running.write_bytes(running.read_bytes().replace(b'"version":1', b'"version":2', 1))
    else:
        called(next_version, GO_ON, str(folder), what)
    before = files_in(folder)
    with pytest.raises(StorageProblem) as problem:
        await opened(folder)
    assert problem.value.cause is Cause.newer_records
    assert why(problem.value).startswith("A newer version of the companion wrote “")
    assert "they are all there" in why(problem.value)
    assert files_in(folder) == before


@pytest.mark.parametrize("what", ["profile", "session"])
def test_no_command_changes_a_folder_that_a_newer_version_has_changed(
    folder: Path, next_version: Path, tmp_path: Path, what: str, capsys: pytest.CaptureFixture[str]
) -> None:
    backup, other = tmp_path / "backup.json", yesterdays_folder(tmp_path / "other")
    (next(other.glob("sessions/*.json"))).unlink()
    assert main(["backup", str(other), "--out", str(backup)]) == 0
    called(next_version, GO_ON, str(folder), what)
    before = files_in(folder)
    erased = json.loads(backup.read_text("utf-8"))["tables"]["records"].popitem()[0]
    for command in (
        ["restore", str(backup), str(folder)],
        ["restore", str(backup), str(folder), "--replace", "--yes"],
        ["erase", str(folder), erased],
    ):
        assert main(command) == 2
        said = capsys.readouterr().err
        assert said.startswith("A newer version of the companion wrote “")
        assert said.count("\n") == 1
        assert files_in(folder) == before


async def opened(folder: Path) -> Window:
    """A window of today's application on the folder."""

    async def nothing(_: Store) -> None:
        return None

    records = FolderRecords(Owners(), folder, "window", fill=nothing)
    window = Window(records, clock=SystemClock(), cues=RecordingCuePlayer(), zone="Europe/Lisbon")
    await window.open()
    return window
