"""The process dies, the battery is pulled, or the disk refuses, at every step of every change.

A first run of a change counts its steps. Then the change runs from the same start again and again, with a
death before, in the middle of and after a step, or with steps that fail, and the disk keeps whatever a disk
may keep (tests/support/faults/disk_model.py). A change of one document leaves the old or the new state; a
change of several leaves each document old or new. The same change again leads to the new state, and what was
acknowledged is kept when the battery is pulled then. ``DEATHS`` sets how many times. Real kills are in
test_killed.py.
"""

from __future__ import annotations

import asyncio
import errno
import os
import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from changes import (
    CHANGES,
    SEVERAL,
    State,
    erased_words_left,
    is_between,
    is_each_session_there,
    prepared,
    record,
    seen,
)
from disk_model import Disk, Fails, failing_at, failing_from

from companion.words.faults import why
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem

DEATHS = int(os.environ.get("DEATHS", "150"))
NOBODY = 65534
SEED = 20261125
DATA, SHARED = "data", "shared"
"""The data folder, and one that several devices share, in the folder of a case."""
MOMENTS = ("before", "half-way", "after")
CODES = {
    errno.ENOSPC: Cause.disk_full,
    errno.EDQUOT: Cause.disk_full,
    errno.EROFS: Cause.read_only,
    errno.EACCES: Cause.not_permitted,
    errno.EIO: Cause.disk_fault,
}


class Case(NamedTuple):
    """A change, the folder it starts from, what is there before and after it, and the steps it takes."""

    name: str
    start: Path
    old: State
    new: State
    steps: int

    async def make(self, store: FolderStore) -> None:
        await CHANGES[self.name](store, store.folder.parent / SHARED)

    def allows(self, found: State) -> bool:
        if self.name not in SEVERAL:
            return found in (self.old, self.new)
        kept = self.name == "everything replaced" or is_each_session_there(self.old, found)
        return kept and is_between(self.old, found, self.new)


def store_in(folder: Path) -> FolderStore:
    return FolderStore(folder / DATA)


async def prepare(folder: Path, name: str) -> Path:
    """Makes what is there before a change, in a folder of its own."""
    (folder / SHARED).mkdir(parents=True)
    await prepared(store_in(folder), folder / SHARED, name)
    return folder


async def state_of(folder: Path, *, may_be_torn: bool = False) -> State:
    return await seen(store_in(folder), may_be_torn=may_be_torn)


async def case_of(name: str, folder: Path) -> Case:
    start = await prepare(folder / f"{name}.start", name)
    old = await state_of(Path(shutil.copytree(start, folder / f"{name}.old")))
    changed = Path(shutil.copytree(start, folder / f"{name}.new"))
    disk = Disk(changed)
    with disk.in_use():
        await CHANGES[name](store_in(changed), changed / SHARED)
    assert disk.steps > 1
    return Case(name, start, old, await state_of(changed), disk.steps)


@pytest.fixture(scope="module")
def cases(tmp_path_factory: pytest.TempPathFactory) -> list[Case]:
    folder = tmp_path_factory.mktemp("cases")
    return [asyncio.run(case_of(name, folder)) for name in CHANGES]


@pytest.fixture
def draw() -> random.Random:
    return random.Random(SEED)


@pytest.fixture(autouse=True)
def _no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("storage.files.disk.FIRST_PAUSE_S", 0)


async def leads_to_the_new_state(case: Case, folder: Path, where: str) -> None:
    found = await state_of(folder, may_be_torn=case.name == "an event")
    assert case.allows(found), where
    if found != case.new:
        await case.make(store_in(folder))
    assert await state_of(folder) == case.new, where
    assert erased_words_left(case.name, folder / DATA) == []


async def test_after_a_death_at_any_step_each_document_is_old_or_new_and_the_change_can_be_made_again(
    cases: list[Case], tmp_path: Path, draw: random.Random
) -> None:
    for number in range(DEATHS):
        case = cases[number % len(cases)]
        step, moment = draw.randint(1, case.steps), draw.choice(MOMENTS)
        folder = Path(shutil.copytree(case.start, tmp_path / "tried"))
        with Disk(folder, dies_at=step, moment=moment, seed=number).in_use():
            await case.make(store_in(folder))
        await leads_to_the_new_state(case, folder, f"{case.name}, {moment} step {step}, seed {number}")
        shutil.rmtree(folder)


def drawn_faults(draw: random.Random, steps: int, code: int) -> Fails:
    """One step that fails, two in a row, two apart, or all from one on."""
    step, other = draw.randint(1, steps), draw.randint(1, steps + 3)
    apart = failing_at(step, code), failing_at(other, code)
    ways: tuple[Fails, ...] = (
        failing_at(step, code),
        failing_at(step, code, times=2),
        lambda now: apart[0](now) or apart[1](now),
        failing_from(step, code),
    )
    return draw.choice(ways)


async def refused_and_made_again(case: Case, folder: Path, disk: Disk) -> StorageProblem | None:
    """Makes a change on a failing disk, then on a mended one, and pulls the battery.

    Returns the problem that was raised. What was synced in vain must not count as kept.
    """
    said, store = None, store_in(folder)
    with disk.in_use():
        try:
            await case.make(store)
        except StorageProblem as problem:
            said = problem
        disk.mend()
        found = await state_of(folder)
        assert case.allows(found) if said else found == case.new
        if said:
            await case.make(store)
        disk.die()
    return said


@pytest.mark.parametrize("code", CODES, ids=errno.errorcode.get)
async def test_what_the_disk_refuses_is_said_and_what_it_takes_later_is_kept_without_a_battery(
    cases: list[Case], tmp_path: Path, draw: random.Random, code: int
) -> None:
    said: list[StorageProblem | None] = []
    for number in range(DEATHS // 3):
        case = cases[number % len(cases)]
        folder = Path(shutil.copytree(case.start, tmp_path / "tried"))
        disk = Disk(folder, fails=drawn_faults(draw, case.steps, code), seed=number)
        said.append(await refused_and_made_again(case, folder, disk))
        assert await state_of(folder) == case.new, f"{case.name}, number {number}"
        shutil.rmtree(folder)
    problems = [problem for problem in said if problem is not None]
    assert {problem.cause for problem in problems} == {CODES[code]}
    assert all(20 < len(why(problem)) < 200 for problem in problems)
    assert len(problems) > DEATHS // 10


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
    folder = await prepare(without_rights / "case", "another kit") / DATA
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
