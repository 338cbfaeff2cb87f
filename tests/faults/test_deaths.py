"""The process dies, or the disk refuses, at every step of every change: the old or the new state is there.

A first run of a change counts its steps. Then the change runs from the same start again and again, with a
death before, in the middle of and after each step, and unsynced files cut short. ``DEATHS`` sets how many
times. Real kills are in test_killed.py.
"""

from __future__ import annotations

import errno
import os
import random
import shutil
from collections.abc import Awaitable, Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

import builders
import pytest
from builders import STARTED_AT
from faults.deaths import Disk

from engine.live.events import EVENTS
from engine.movements.movement import Kit
from engine.record.amendment import Amendment
from engine.record.history import history_of
from storage.derived import last_loads, weekly_figures
from storage.exchange.backup import Holdings, gather
from storage.folder.store import FolderStore
from storage.models import KitOwned
from storage.problem import Cause, StorageProblem
from storage.store import amended_records

DEATHS = int(os.environ.get("DEATHS", "150"))
NOBODY = 65534
SECRET = "my-own-business"
LATER = STARTED_AT + timedelta(days=1)
RUN = builders.journal()
SECOND = EVENTS.validate_python(
    {
        "kind": "mark",
        "seq": 2,
        "id": "event-2",
        "session_ms": 1_000,
        "wall": LATER,
        "segment_id": "circuit:get-ready",
    }
)
MOMENTS = ("before", "half-way", "after")

Change = Callable[[FolderStore], Awaitable[object]]


def record(number: int, note: str = "") -> Any:
    started_at = STARTED_AT + timedelta(days=number)
    return builders.record(record_id=f"record-{number}", started_at=started_at, effort=6, note=note)


def amendment(number: int = 1) -> Amendment:
    return Amendment(id="late", record_id=f"record-{number}", at=LATER, field="note", value="Late. " * 40)


CHANGES: dict[str, Change] = {
    "the first profile": lambda store: store.person.save_profile(builders.profile()),
    "the first kit": lambda store: store.person.save_kit(KitOwned()),
    "the first session": lambda store: store.sessions.save(record(1)),
    "another session": lambda store: store.sessions.save(record(9)),
    "a growing session": lambda store: store.sessions.amend(amendment()),
    "growing plans": lambda store: store.plans.save(builders.plan(id="another-plan")),
    "another kit": lambda store: store.person.save_kit(
        KitOwned(dumbbells=Kit.pair, absent=("wall", "bench"))
    ),
    "shrinking plans": lambda store: store.plans.remove("test-plan"),
    "a shrinking kit": lambda store: store.person.save_kit(KitOwned()),
    "an erased session": lambda store: store.sessions.erase("record-2", at=LATER),
    "the start of a run": lambda store: store.run.open(RUN.record().model_copy(update={"events": ()})),
    "an event": lambda store: store.run.append(SECOND),
    "the end of a run": lambda store: store.run.close(),
    "weeks that are counted again": lambda store: store.sessions.history(),
}
EMPTY = ("the first profile", "the first kit", "the first session")
NO_RUN = ("the start of a run",)


class State(NamedTuple):
    holdings: Holdings
    run: Any


async def state_of(folder: Path) -> State:
    """What a new start finds, after a check: nothing is damaged, and figures agree with a full recount."""
    store = FolderStore(folder)
    gathered = await gather(store)
    assert gathered.left_out == ()
    records, amendments = await amended_records(store), await store.sessions.amendments_in()
    assert await store.sessions.week_index() == weekly_figures(records)
    assert await store.sessions.last_loads() == last_loads(records)
    assert await store.sessions.history() == history_of(records, amendments)
    run = await store.run.read()
    assert await store.troubles() == ()
    return State(gathered.holdings, run)


async def prepare(folder: Path, name: str) -> Path:
    if name not in EMPTY:
        store = FolderStore(folder)
        await store.person.save_profile(builders.profile())
        await store.person.save_kit(KitOwned(absent=("wall",)))
        await store.plans.save(builders.plan())
        for number in (1, 2):
            await store.sessions.save(record(number, note=SECRET if number == 2 else ""))
        await store.sessions.history()
        await store.sessions.save(record(3))
        if name not in NO_RUN:
            await store.run.open(RUN.record().model_copy(update={"events": ()}))
            await store.run.append(RUN.events[0])
    else:
        folder.mkdir()
    return folder


class Case(NamedTuple):
    name: str
    start: Path
    old: State
    new: State
    steps: int


async def case_of(name: str, folder: Path) -> Case:
    start = await prepare(folder / f"{name}.start", name)
    old = await state_of(Path(shutil.copytree(start, folder / f"{name}.old")))
    changed, disk = Path(shutil.copytree(start, folder / f"{name}.new")), Disk(-1)
    with disk.in_use():
        await CHANGES[name](FolderStore(changed))
    assert disk.steps > 1
    return Case(name, start, old, await state_of(changed), disk.steps)


@pytest.fixture
async def cases(tmp_path: Path) -> list[Case]:
    return [await case_of(name, tmp_path) for name in CHANGES]


async def try_with(disk: Disk, case: Case, folder: Path) -> StorageProblem | None:
    """Makes one change on a failing disk: the old or the new state is there, and a second try gives the new.

    Returns the problem that was raised.
    """
    shutil.copytree(case.start, folder)
    said = None
    with disk.in_use():
        try:
            await CHANGES[case.name](FolderStore(folder))
        except StorageProblem as problem:
            said = problem
    found = await state_of(folder)
    assert found in (case.old, case.new), f"{case.name}, step {disk.at} of {case.steps}, {disk.moment}"
    if found == case.old:
        await CHANGES[case.name](FolderStore(folder))
    assert await state_of(folder) == case.new
    if case.name == "an erased session":
        left = [path for path in folder.rglob("*") if path.is_file() and SECRET.encode() in path.read_bytes()]
        assert left == []
    shutil.rmtree(folder)
    return said


async def test_after_a_death_at_any_step_the_old_or_the_new_state_is_there(
    cases: list[Case], tmp_path: Path
) -> None:
    places = [
        (case, step, moment) for case in cases for step in range(1, case.steps + 1) for moment in MOMENTS
    ]
    draw = random.Random(20261125)
    draw.shuffle(places)
    for number in range(DEATHS):
        case, step, moment = places[number % len(places)]
        await try_with(Disk(step, moment=moment, seed=number), case, tmp_path / "tried")


@pytest.mark.parametrize(
    "code, cause",
    [
        (errno.ENOSPC, Cause.disk_full),
        (errno.EROFS, Cause.read_only),
        (errno.EACCES, Cause.not_permitted),
        (errno.EIO, Cause.disk_fault),
    ],
)
async def test_when_the_disk_refuses_at_any_step_the_old_or_the_new_state_is_there_and_it_is_said(
    cases: list[Case], tmp_path: Path, code: int, cause: Cause, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("storage.files.disk.FIRST_PAUSE_S", 0)
    said: list[StorageProblem | None] = []
    for case in cases:
        for step in range(1, case.steps + 1):
            said += [await try_with(Disk(step, code=code), case, tmp_path / "tried")]
    problems = [problem for problem in said if problem is not None]
    assert {problem.cause for problem in problems} == {cause}
    assert all(20 < len(str(problem)) < 200 for problem in problems)
    assert len(problems) > len(cases)


async def test_a_death_while_everything_is_erased_leaves_each_session_whole_or_gone(
    cases: list[Case], tmp_path: Path
) -> None:
    (case,) = (case for case in cases if case.name == "an erased session")
    ids = {record.id for record in case.old.holdings.records}
    for step in range(1, 60, 3):
        folder = Path(shutil.copytree(case.start, tmp_path / f"erased-{step}"))
        disk = Disk(step, seed=step)
        with disk.in_use():
            await FolderStore(folder).erase_all(at=LATER)
        found = (await gather(FolderStore(folder))).holdings
        stones = {stone.record_id for stone in found.tombstones}
        assert {record.id for record in found.records} | stones == ids
        assert all(record in case.old.holdings.records for record in found.records)
        await FolderStore(folder).erase_all(at=LATER)
        assert not any(SECRET.encode() in path.read_bytes() for path in folder.rglob("*") if path.is_file())


@pytest.fixture
def without_rights(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Makes a folder the working directory of a user without special rights: root becomes another user.

    Other users cannot reach the folder by its path, so it must be the working directory.
    """
    if not hasattr(os, "geteuid"):
        pytest.skip("this system keeps rights in another way")
    monkeypatch.chdir(tmp_path)
    root = os.geteuid() == 0
    if root:
        os.chown(".", NOBODY, NOBODY)
        os.seteuid(NOBODY)
    try:
        yield Path()
    finally:
        if root:
            os.seteuid(0)


async def test_a_folder_that_can_only_be_read_is_read_and_says_so(without_rights: Path) -> None:
    folder = await prepare(without_rights / "kept", "another kit")
    for path in (folder, folder / "sessions", folder / "index"):
        path.chmod(0o500)
    try:
        store = FolderStore(folder)
        assert len(await store.sessions.records()) == 3
        with pytest.raises(StorageProblem) as problem:
            await store.sessions.save(record(9))
        assert problem.value.cause is Cause.not_permitted
    finally:
        for path in (folder, folder / "sessions", folder / "index"):
            path.chmod(0o700)
    assert len(await FolderStore(folder).sessions.records()) == 3
