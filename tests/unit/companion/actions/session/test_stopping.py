"""Stopping always works: what a person does takes effect at once, whatever the disk or the browser says."""

from __future__ import annotations

import asyncio
import errno
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from builders import HAND
from disk_model import Disk, failing_at, failing_from
from somebody import Person, hurts, stops

from companion.actions import keeping
from companion.actions.actions import Actions
from companion.actions.session import writing
from companion.state.screen import Screen
from companion.words.faults import why
from engine.live.events import Ending
from engine.live.run import replay
from engine.live.state import Status
from engine.movements.movement import Equipment
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Put, Remove
from storage.browser.store import BrowserStore
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem

CODES = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EACCES, errno.EIO)
Act = Callable[[Actions], Awaitable[object]]


async def _hurt_and(do: Actions, then: str) -> None:
    await do.session.something_hurts()
    await do.hurt.describe(kind="joint", joint="knee", side="left", rating=2)
    await do.hurt.answer(then)


async def _paused_and_on(do: Actions) -> None:
    await do.session.pause()
    await do.session.resume()


async def _ended_and_not_over(do: Actions) -> None:
    await do.session.end_early()
    await do.log.not_over()


ACTS: dict[str, Act] = {
    "pause": lambda do: do.session.pause(),
    "pause and go on": _paused_and_on,
    "done": lambda do: do.session.tick(),
    "hold": lambda do: do.session.hold(True),
    "skip": lambda do: do.session.skip(),
    "previous": lambda do: do.session.back(),
    "restart": lambda do: do.session.redo(),
    "more rest": lambda do: do.session.more_rest(),
    "form slipped": lambda do: do.session.form_slipped(),
    "keep everything": lambda do: do.session.keep_everything(),
    "take a cut": lambda do: do.session.take_cut(),
    "both sides": lambda do: do.session.end_with_both_sides(),
    "a load": lambda do: do.session.set_load(HAND.slug, 8_000),
    "easier": lambda do: do.session.swap.take_easier(),
    "without a floor": lambda do: do.session.swap.do_without(Equipment.floor),
    "hurts": lambda do: do.session.something_hurts(),
    "hurts, go on": lambda do: _hurt_and(do, "go_on"),
    "hurts, try": lambda do: _hurt_and(do, "try"),
    "hurts, without": lambda do: _hurt_and(do, "without"),
    "hurts, end": lambda do: _hurt_and(do, "end"),
    "end": lambda do: do.session.end_early(),
    "end and not over": _ended_and_not_over,
}


async def in_work(store: FolderStore | BrowserStore) -> Person:
    person = await Person(store).open()  # type: ignore[arg-type]
    await person.do.session.start()
    await person.later(30)
    assert person.cues.pending
    return person


async def is_written_in_order(person: Person) -> None:
    """What waited is written once the disk writes again."""
    await person.later(keeping.TRY_AGAIN_MS / 1000 + 1)
    live = person.state.run.live
    assert live is not None
    assert live.unsaved == ()
    assert live.not_saved == ""
    record = await person.store.run.read()
    assert record is not None
    assert [event.seq for event in record.events] == list(range(1, live.state.seq + 1))
    assert replay(record).model_dump(exclude={"at_ms"}) == live.state.model_dump(exclude={"at_ms"})


@pytest.mark.parametrize("code", CODES, ids=errno.errorcode.get)
@pytest.mark.parametrize("name", ACTS)
async def test_every_action_takes_effect_while_the_disk_refuses_at_any_step(
    name: str, code: int, tmp_path: Path
) -> None:
    for at in range(1, 40):
        person = await in_work(FolderStore(tmp_path / str(at)))
        disk = Disk(tmp_path / str(at), fails=failing_from(at, code), only_changes=True)
        before = person.run
        with disk.in_use():
            await ACTS[name](person.do)
            acted = disk.steps >= at
            live = person.state.run.live
            assert live is not None
            assert (live.not_saved != "") == (acted and live.state.seq > before.seq)
            await stops(person)
            assert (writing.MEANWHILE in live.not_saved) == (disk.steps >= at)
        await is_written_in_order(person)
        if not acted:
            return
    raise AssertionError(f"{name} never came to an end")


@pytest.mark.parametrize("code", CODES, ids=errno.errorcode.get)
async def test_one_refused_write_is_made_good_without_a_word_left(code: int, tmp_path: Path) -> None:
    for at in range(1, 4):
        person = await in_work(FolderStore(tmp_path / str(at)))
        with Disk(tmp_path / str(at), fails=failing_at(at, code), only_changes=True).in_use():
            await person.do.session.pause()
            assert person.run.status is Status.paused
            await person.do.session.resume()
        await is_written_in_order(person)


async def test_the_clock_goes_on_to_the_end_of_a_session_on_a_full_disk(tmp_path: Path) -> None:
    person = await in_work(FolderStore(tmp_path))
    with Disk(tmp_path, fails=failing_from(1, errno.ENOSPC)).in_use():
        await person.later(900)
        assert person.run.ending is Ending.finished
        assert person.state.screen is Screen.log
    await is_written_in_order(person)
    await person.do.log.save()
    assert len(await person.store.sessions.records()) == 1


class HangingShelves(MemoryShelves):
    """A browser's database that refuses, or never answers."""

    refuses: StorageProblem | None = None
    hangs: asyncio.Event | None = None

    async def change(self, *changes: Put | Remove) -> None:
        if self.hangs is not None:
            await self.hangs.wait()
        if self.refuses is not None:
            raise self.refuses
        await super().change(*changes)


@pytest.mark.parametrize("name", ACTS)
@pytest.mark.parametrize("cause", [Cause.browser_full, Cause.browser_refuses, Cause.browser_fault])
async def test_every_action_takes_effect_while_the_browser_refuses(name: str, cause: Cause) -> None:
    shelves = HangingShelves()
    person = await in_work(BrowserStore(shelves))
    shelves.refuses = StorageProblem(cause)
    await ACTS[name](person.do)
    await stops(person)
    assert person.state.run.live is not None
    assert why(shelves.refuses) in person.state.run.live.not_saved
    shelves.refuses = None
    await is_written_in_order(person)


@pytest.mark.parametrize("name", ["pause", "skip", "hurts", "end"])
async def test_stopping_waits_for_no_disk_that_hangs(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(writing, "SLOW_AFTER_S", 0.01)
    shelves = HangingShelves()
    person = await in_work(BrowserStore(shelves))
    shelves.hangs = asyncio.Event()
    async with asyncio.timeout(5):
        await ACTS[name](person.do)
        await stops(person)
        assert person.state.run.live is not None
        assert person.state.run.live.not_saved.startswith(writing.HANGS)
    shelves.hangs.set()
    await asyncio.sleep(0.01)
    await is_written_in_order(person)


async def test_a_window_that_loses_its_session_while_it_writes_has_nothing_to_say_about_it() -> None:
    shelves = HangingShelves()
    person = await in_work(BrowserStore(shelves))
    shelves.refuses = StorageProblem(Cause.browser_refuses)
    await person.do.session.pause()
    person.clock.ms += keeping.TRY_AGAIN_MS
    shelves.hangs = asyncio.Event()
    watching = asyncio.create_task(person.do.session.watch())
    await asyncio.sleep(0)
    person.state.run.live = None
    shelves.hangs.set()
    await watching


async def test_cues_are_cancelled_and_the_screen_changes_before_anything_is_written() -> None:
    person = await in_work(BrowserStore(MemoryShelves()))
    seen: list[tuple[bool, bool]] = []
    append = person.store.run.append

    async def looking(event: object) -> None:
        seen.append((person.cues.pending == (), person.state.screen is Screen.hurt))
        await append(event)  # type: ignore[arg-type]

    person.store.run.append = looking  # type: ignore[method-assign]
    await hurts(person)
    assert seen == [(True, True)] * 3


async def test_a_session_that_cannot_be_kept_is_not_begun_and_why_is_said(tmp_path: Path) -> None:
    person = await Person(FolderStore(tmp_path)).open()  # type: ignore[arg-type]
    full = Disk(tmp_path, fails=failing_from(1, errno.ENOSPC))
    with full.in_use(), pytest.raises(StorageProblem, match="disk_full"):
        await person.do.session.start()
    assert person.state.run.live is None
    assert person.cues.pending == ()
    await person.do.session.start()
    assert person.run.status is Status.running


async def test_a_start_that_is_refused_at_any_step_can_be_tried_again(tmp_path: Path) -> None:
    refused = 0
    for at in range(1, 12):
        person = await Person(FolderStore(tmp_path / str(at))).open()  # type: ignore[arg-type]
        try:
            with Disk(tmp_path / str(at), fails=failing_at(at, errno.EIO)).in_use():
                await person.do.session.start()
        except StorageProblem:
            refused += 1
            assert person.state.run.live is None
            await person.do.session.start()
        assert person.run.status is Status.running
    assert refused > 2
