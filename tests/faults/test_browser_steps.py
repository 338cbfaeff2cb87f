"""The browser's database dies or refuses at every step of every change, before the step is kept or after it.

Each step is one transaction, so a change of one document or of many is there whole or not at all; merges and
what is brought in take several. A new start finds figures that agree with a full recount; the same change
again leads to the same end; what was acknowledged is kept. ``DEATHS`` sets how many times, a third each.
"""

from __future__ import annotations

import asyncio
import os
import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from changes import CHANGES, FOLDER_ONLY, SEVERAL, State, is_between, is_each_session_there, prepared, seen
from disk_model import Death
from shelves_that_fail import CAUSES, ShelvesThatFail

from storage.browser.store import BrowserStore
from storage.problem import StorageProblem

NAMES = [name for name in CHANGES if name not in FOLDER_ONLY]
STEPS = int(os.environ.get("DEATHS", "150")) // 3
SEED = 20261130


class Case(NamedTuple):
    """A change, what is there before and after it, and the steps it takes."""

    name: str
    start: ShelvesThatFail
    shared: Path
    old: State
    new: State
    steps: int


async def state_of(shelves: ShelvesThatFail) -> State:
    """What a new start finds in a copy, as ``changes.seen`` checks it."""
    return await seen(BrowserStore(ShelvesThatFail(shelves.kept)))


async def case_of(name: str, folder: Path) -> Case:
    start, shared = ShelvesThatFail(), folder / name
    shared.mkdir()
    await prepared(BrowserStore(start), shared, name)
    changed = ShelvesThatFail(start.kept)
    await CHANGES[name](BrowserStore(changed), Path(shutil.copytree(shared, folder / f"{name}, changed")))
    return Case(name, start, shared, await state_of(start), await state_of(changed), changed.steps)


@pytest.fixture(scope="module")
def cases(tmp_path_factory: pytest.TempPathFactory) -> list[Case]:
    folder = tmp_path_factory.mktemp("cases")
    return [asyncio.run(case_of(name, folder)) for name in NAMES]


def allows(case: Case, found: State) -> bool:
    if case.name not in SEVERAL:
        return found in (case.old, case.new)
    return is_each_session_there(case.old, found) and is_between(case.old, found, case.new)


def drawn(cases: list[Case]) -> Iterator[tuple[Case, int, bool, random.Random]]:
    """Cases and steps in a drawn order, each before or after the step is kept."""
    draw = random.Random(SEED)
    places = [
        (case, step, kept) for case in cases for step in range(1, case.steps + 1) for kept in (True, False)
    ]
    for case, step, kept in draw.sample(places, min(STEPS, len(places))):
        yield case, step, kept, draw


async def test_after_a_death_at_any_step_each_document_is_old_or_new_and_the_change_can_be_made_again(
    cases: list[Case], tmp_path: Path
) -> None:
    for case, step, is_kept, _ in drawn(cases):
        shelves = ShelvesThatFail(case.start.kept)
        shelves.dies_at, shelves.is_kept = step, is_kept
        shared = Path(shutil.copytree(case.shared, tmp_path / f"{case.name} {step} {is_kept}"))
        with pytest.raises(Death):
            await CHANGES[case.name](BrowserStore(shelves), shared)
        found = await state_of(shelves)
        assert allows(case, found), f"{case.name}, step {step}"
        again = ShelvesThatFail(shelves.kept)
        if found != case.new:
            await CHANGES[case.name](BrowserStore(again), shared)
        assert await state_of(again) == case.new, f"{case.name}, step {step}"


async def test_what_the_browser_refuses_at_any_step_is_said_and_can_be_made_again_in_the_same_window(
    cases: list[Case], tmp_path: Path
) -> None:
    causes = set()
    for case, step, is_kept, draw in drawn(cases):
        shelves, cause = ShelvesThatFail(case.start.kept), draw.choice(CAUSES)
        shelves.fails, shelves.is_kept = {step: cause}.get, is_kept
        store, shared = BrowserStore(shelves), tmp_path / f"{case.name} {step} {is_kept}"
        shutil.copytree(case.shared, shared)
        problem = await refused(case, store, shared)
        shelves.mend()
        found = await state_of(shelves)
        assert allows(case, found) if problem else found == case.new, f"{case.name}, step {step}"
        if problem:
            causes.add(problem.cause)
            await CHANGES[case.name](store, shared)
        assert await state_of(shelves) == case.new, f"{case.name}, step {step}"
    assert causes == set(CAUSES)


async def refused(case: Case, store: BrowserStore, shared: Path) -> StorageProblem | None:
    """Makes a change; the problem that was raised. What can be derived again may be refused untold."""
    try:
        await CHANGES[case.name](store, shared)
    except StorageProblem as problem:
        return problem
    return None
