"""Every action of a person, over a disk and a browser that refuse at any step, once or for good.

What is refused is told in one sentence. What is shown is saved, or said to be unsaved until it is. Once the
storage works again, whatever waited is saved, and what was refused can be done again; then all is as if
nothing had been refused. Pause, pain and the end take effect meanwhile. ``REFUSALS`` sets how many are tried.
"""

from __future__ import annotations

import asyncio
import errno
import importlib
import inspect
import os
import pkgutil
import random
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple, Protocol

import pytest
from action_table import BEGAN, NO_STORE, PLAN, ROWS, THROUGH, Act, Row, fill
from disk_model import Disk, failing_at, failing_from
from shelves_that_fail import CAUSES, ShelvesThatFail
from somebody import Person, stops

from companion import actions
from companion.state.screen import Screen
from companion.words.faults import why
from engine.live.events import RunningRecord
from engine.live.run import replay
from engine.record.history import History
from storage.browser.store import BrowserStore
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem
from storage.store import Store

REFUSALS = int(os.environ.get("REFUSALS", "120"))
SEED = 20261130
CODES = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EACCES, errno.EIO)
LATER_S = 3
BUT_AT = {"at_ms"}
A_TIME = r'"\d{4}-\d\d-\d\dT[^"]*"'


class Refusal(NamedTuple):
    """Which step is refused first, why, and whether all later ones are; ``is_kept`` is for a browser."""

    step: int
    why: Any
    lasts: bool
    is_kept: bool = False


class Place(Protocol):
    """Where somebody's records are."""

    store: Store

    def refusing(self, refusal: Refusal) -> Any:
        """Refuses steps meanwhile; gives what counts the ``steps`` and those that ``failed``."""
        ...

    def copied(self) -> Store:
        """A store over a copy, as a new start finds it."""
        ...


class OnDisk:
    def __init__(self, start: Path, folder: Path) -> None:
        self.folder = Path(shutil.copytree(start, folder / "kept"))
        self.store: Store = FolderStore(self.folder)
        self._copies = 0

    @contextmanager
    def refusing(self, refusal: Refusal) -> Iterator[Disk]:
        fails = (failing_from if refusal.lasts else failing_at)(refusal.step, refusal.why)
        with Disk(self.folder, fails=fails).in_use() as disk:
            yield disk

    def copied(self) -> Store:
        self._copies += 1
        return FolderStore(Path(shutil.copytree(self.folder, self.folder.parent / f"copy-{self._copies}")))


class InBrowser:
    def __init__(self, start: ShelvesThatFail) -> None:
        self.shelves = ShelvesThatFail(start.kept)
        self.store: Store = BrowserStore(self.shelves)

    @contextmanager
    def refusing(self, refusal: Refusal) -> Iterator[ShelvesThatFail]:
        shelves = self.shelves
        shelves.failed, shelves.is_kept = 0, refusal.is_kept
        at, shelves.steps = refusal.step, 0

        def fails(step: int) -> Cause | None:
            return refusal.why if step == at or (refusal.lasts and step > at) else None

        shelves.fails = fails
        yield shelves
        shelves.mend()

    def copied(self) -> Store:
        return BrowserStore(ShelvesThatFail(self.shelves.kept))


class Starts(NamedTuple):
    """What there is before an action, filled and empty, on a disk and in a browser."""

    folders: dict[bool, Path]
    shelves: dict[bool, ShelvesThatFail]

    def place(self, row: Row, *, in_browser: bool, folder: Path) -> Place:
        if in_browser:
            return InBrowser(self.shelves[row.from_nothing])
        return OnDisk(self.folders[row.from_nothing], folder)


async def made_starts(folder: Path) -> Starts:
    folders, shelves = {}, {}
    for nothing in (False, True):
        folders[nothing], shelves[nothing] = folder / f"{nothing}", ShelvesThatFail()
        folders[nothing].mkdir()
        if not nothing:
            await fill(FolderStore(folders[nothing]))
            await fill(BrowserStore(shelves[nothing]))
    return Starts(folders, shelves)


@pytest.fixture(scope="module")
def starts(tmp_path_factory: pytest.TempPathFactory) -> Starts:
    return asyncio.run(made_starts(tmp_path_factory.mktemp("starts")))


@pytest.fixture(autouse=True)
def _no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("storage.files.disk.FIRST_PAUSE_S", 0)
    monkeypatch.setattr("companion.actions.desk.edits.TYPING_S", 0)


async def opened(store: Store) -> Person:
    person = Person(store, began=BEGAN)  # type: ignore[arg-type]
    await person.come_back(PLAN)
    return person


async def at_work(row: Row, place: Place) -> Person:
    person = await opened(place.store)
    for step in row.ready:
        await step(person)
    return person


def shown(person: Person) -> dict[str, Any]:
    """What a window shows of what is kept, without ids and the times of saying."""
    state, said = person.state, person.state.body.said
    profile = state.home.profile
    today = said and ([(one.point, one.rating) for one in said.pains], said.sore_muscles, said.pressure_high)
    return {
        "profile": profile and profile.model_dump(exclude={"trainee_id", "cautions_read_at", "zone"}),
        "kit": (state.home.kit, state.home.rack, state.home.without),
        "settings": state.device.settings.model_dump(
            exclude={"backed_up_at": True, "copies": {"written_at"}}
        ),
        "plans": state.plans.all,
        "adjustments": state.plans.adjustments,
        "today": today,
        "illness": bool(said and said.illness),
        "noted": [(one.joint, one.side, one.rating) for one in state.body.noted],
        "history": state.learned.history,
        "drafts": {name: one.draft.content for name, one in state.desk.unfinished.items() if one.changed},
    }


def _but_times(part: Any) -> Any:
    """What was said a second time was said later."""
    return re.sub(A_TIME, "", part.model_dump_json()) if isinstance(part, History) else part


def run_shown(person: Person) -> Any:
    live = person.state.run.live
    return live and live.state.model_dump(exclude=BUT_AT)


async def kept(place: Place) -> tuple[dict[str, Any], Any]:
    """What a new start would show, and the session in progress as it was left."""
    store = place.copied()
    run: RunningRecord | None = await store.run.read()
    person = await opened(store)
    assert await store.troubles() == ()
    return shown(person), run and replay(run).model_dump(exclude=BUT_AT)


def is_told(person: Person) -> str:
    live = person.state.run.live
    return (live.not_saved if live else "") or person.state.not_saved


def has_what_it_shows(person: Person) -> bool:
    """Whether the screen has what it draws."""
    state = person.state
    needed: dict[Screen, object] = {
        Screen.running: state.run.live,
        Screen.log: state.run.live,
        Screen.hurt: state.run.pain,
        Screen.week: state.week.shown,
        Screen.record: state.week.opened,
        Screen.afterwards: state.afterwards.asked,
        Screen.adjustment: state.plans.adjustment_shown,
        Screen.desk: state.desk.plan,
        Screen.setup: state.fit.is_known,
    }
    return needed.get(state.screen, True) not in (None, False)


async def told_by(act: Act, person: Person) -> StorageProblem | None:
    try:
        await act(person)
    except StorageProblem as problem:
        return problem
    return None


async def steps_and_end(row: Row, place: Place) -> tuple[int, dict[str, Any]]:
    """How many steps an action takes where nothing is refused, and what is kept then."""
    person = await at_work(row, place)
    with place.refusing(Refusal(0, None, lasts=False)) as counted:
        await row.act(person)
    assert is_told(person) == ""
    assert (shown(person), run_shown(person)) == await kept(place)
    return counted.steps, shown(person)


async def refuse(row: Row, place: Place, refusal: Refusal, end: dict[str, Any]) -> None:
    person = await at_work(row, place)
    before = shown(person)
    with place.refusing(refusal) as refused:
        problem = await told_by(row.act, person)
        assert has_what_it_shows(person)
        if person.state.run.live and refusal.lasts and problem is None:
            await stops(person)
    if problem is None and not is_told(person) and refused.failed:
        assert (shown(person), run_shown(person)) == await kept(place), "not saved, and nobody was told"
    for sentence in filter(None, (why(problem) if problem else "", is_told(person))):
        assert 20 < len(sentence) < 400
        assert sentence.isprintable()
    await person.later(LATER_S)
    assert is_told(person) == ""
    there, run = await kept(place)
    ahead = {name for name, one in shown(person).items() if one not in (there[name], before[name])}
    assert not ahead, "shown, neither saved nor said to be unsaved"
    assert problem is not None or shown(person) == there
    if problem is not None:
        await (row.again or row.act)(person)
        there, run = await kept(place)
    assert shown(person) == there
    differing = {name for name in end if _but_times(there[name]) != _but_times(end[name])}
    assert not differing, "it is not as if nothing had been refused"
    assert run_shown(person) == run


def every_action() -> set[str]:
    """The names of all asynchronous methods of the actions: only these can reach a store."""
    names = set()
    for module in pkgutil.walk_packages(actions.__path__, f"{actions.__name__}."):
        for name, found in vars(importlib.import_module(module.name)).items():
            if inspect.isclass(found) and found.__module__ == module.name:
                names |= {f"{name}.{one}" for one, it in vars(found).items() if _may_store(one, it)}
    return names


def _may_store(name: str, found: Any) -> bool:
    return inspect.iscoroutinefunction(found) and not name.startswith("_")


def test_every_action_has_a_row() -> None:
    named = {name.partition(",")[0] for name in (*ROWS, *NO_STORE)}
    missing = {one for one in every_action() - named if not one.startswith(tuple(THROUGH))}
    assert missing == set(), "write a row in tests/support/faults/action_table.py"
    assert named - every_action() == set()


@pytest.mark.parametrize("in_browser", [False, True], ids=["folder", "browser"])
async def test_what_is_refused_at_any_step_is_told_and_done_or_can_be_done_again(
    starts: Starts, tmp_path: Path, in_browser: bool
) -> None:
    draw, ends = random.Random(SEED + in_browser), dict[str, tuple[int, dict[str, Any]]]()
    names = draw.sample(list(ROWS), len(ROWS))
    for number in range(REFUSALS // 2):
        name = names[number % len(names)]
        row, folder = ROWS[name], tmp_path / str(number)
        if name not in ends:
            clean = starts.place(row, in_browser=in_browser, folder=folder / "clean")
            ends[name] = await steps_and_end(row, clean)
        steps, end = ends[name]
        why = draw.choice(CAUSES if in_browser else CODES)
        step, lasts, is_kept = draw.randint(1, max(1, steps)), draw.random() < 0.5, draw.random() < 0.3
        refusal = Refusal(step, why, lasts, is_kept)
        place = starts.place(row, in_browser=in_browser, folder=folder / "refused")
        try:
            await refuse(row, place, refusal, end)
        except Exception as fault:
            raise AssertionError(f"{name}, {refusal}") from fault
        shutil.rmtree(folder, ignore_errors=True)


@pytest.mark.parametrize("name", NO_STORE)
async def test_what_needs_no_store_works_whatever_it_says(starts: Starts, name: str) -> None:
    place = InBrowser(starts.shelves[False])
    person = await at_work(NO_STORE[name], place)
    with place.refusing(Refusal(1, Cause.browser_fault, lasts=True)) as refused:
        await NO_STORE[name].act(person)
    assert refused.steps == 0
