"""A window that is gone lets go of the records, one that comes back takes them again, one always opens."""

from __future__ import annotations

import asyncio
import errno
from pathlib import Path

import flet as ft
import pytest
from disk_model import Disk, failing_from
from flet_client import STEPS, FletClient, window_on

from companion import app
from companion.actions.session.writing import MEANWHILE
from companion.views.controls.frame import USE_THIS_WINDOW
from companion.window import window as windows
from companion.window.records import ANOTHER_WINDOW, ONLY_SHOWS
from engine.live.events import Event
from storage.folder.owner import FolderLock, Owners
from storage.folder.store import FolderStore

GONE_S = 0.05
IN_PROGRESS = "A session is in progress:"
FIRST = {True: ("Paused", IN_PROGRESS), False: ("How many minutes?",)}


@pytest.fixture(autouse=True)
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(app, "GONE_AFTER_S", GONE_S)
    monkeypatch.setattr(windows, "LOOK_EVERY_MS", 50)


async def opened(folder: Path, owners: Owners, token: str) -> FletClient:
    return await window_on(folder, owners=owners, token=token, platform=ft.PagePlatform.LINUX)


async def at_work(folder: Path, owners: Owners) -> FletClient:
    client = await opened(folder, owners, "first")
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    await client.press("Start")
    await client.until_shown("Something hurts")
    return client


async def closes_tab(client: FletClient) -> None:
    """The page goes without a word; Flet keeps its session for an hour."""
    await client.session.disconnect(3_600)
    await asyncio.sleep(0)


async def loads_again(client: FletClient) -> None:
    await client.session.connect(client.connection)


async def test_a_closed_tab_frees_the_records_and_the_next_window_owns_them(tmp_path: Path) -> None:
    owners = Owners()
    first = await at_work(tmp_path, owners)
    await closes_tab(first)
    await asyncio.sleep(3 * GONE_S)
    other = FolderLock(tmp_path)
    assert other.take(), "other programs may use the folder too"
    second = await opened(tmp_path, Owners(), "second")
    assert second.shows("Another program")


async def test_an_unfinished_session_is_the_first_thing_in_the_next_window(tmp_path: Path) -> None:
    owners = Owners()
    await closes_tab(await at_work(tmp_path, owners))
    await asyncio.sleep(3 * GONE_S)
    second = await opened(tmp_path, owners, "second")
    await second.until_shown("Paused")
    assert second.shows("You were away for")
    assert not second.shows(ANOTHER_WINDOW)


async def test_a_window_opened_before_the_first_let_go_takes_the_records_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    owners = Owners()
    monkeypatch.setattr(app, "GONE_AFTER_S", 0.5)
    first = await at_work(tmp_path, owners)
    await closes_tab(first)
    second = await opened(tmp_path, owners, "second")
    assert second.shows(ANOTHER_WINDOW)
    await second.until_shown("Paused")
    assert not second.shows(ANOTHER_WINDOW)


async def test_a_reload_goes_on_as_it_was(tmp_path: Path) -> None:
    owners = Owners()
    first = await at_work(tmp_path, owners)
    await closes_tab(first)
    await loads_again(first)
    await asyncio.sleep(3 * GONE_S)
    assert first.shows("Something hurts")
    assert not first.shows("Paused")
    assert [e.kind for e in (await events(tmp_path))] == ["started"]
    assert not FolderLock(tmp_path).take()


async def until_any(client: FletClient, *words: str) -> None:
    for _ in range(STEPS):
        if any(client.shows(one) for one in words):
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"none of {words} came; there is {client.texts()}")


async def until_gone(client: FletClient, words: str) -> None:
    for _ in range(STEPS):
        if not client.shows(words):
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"“{words}” never went; there is {client.texts()}")


async def events(folder: Path) -> tuple[Event, ...]:
    record = await FolderStore(folder).run.read()
    assert record is not None
    return record.events


async def test_a_window_that_comes_back_takes_its_session_again_paused(tmp_path: Path) -> None:
    first = await at_work(tmp_path, Owners())
    await closes_tab(first)
    await asyncio.sleep(3 * GONE_S)
    await loads_again(first)
    await first.until_shown("Paused")
    assert [e.kind for e in (await events(tmp_path))] == ["started", "returned"]
    await first.press("Go on")
    await first.until_shown("Warm-up")
    assert not FolderLock(tmp_path).take()


async def test_what_was_being_said_is_still_there_when_the_window_comes_back(tmp_path: Path) -> None:
    first = await at_work(tmp_path, Owners())
    await first.press("Something hurts")
    await first.until_shown("Stop. Weight down.")
    await closes_tab(first)
    await asyncio.sleep(3 * GONE_S)
    await loads_again(first)
    await asyncio.sleep(0.1)
    assert first.shows("Stop. Weight down.")


async def test_a_window_that_comes_back_to_records_of_another_only_reads(tmp_path: Path) -> None:
    owners = Owners()
    first = await at_work(tmp_path, owners)
    await closes_tab(first)
    await asyncio.sleep(3 * GONE_S)
    second = await opened(tmp_path, owners, "second")
    await second.until_shown("Paused")
    await loads_again(first)
    await first.until_shown(ANOTHER_WINDOW)
    await closes_tab(second)
    await first.until_shown("Paused")
    assert not first.shows(ANOTHER_WINDOW)


async def test_what_another_program_did_meanwhile_is_read_again(tmp_path: Path) -> None:
    first = await at_work(tmp_path, Owners())
    await first.press("Pause")
    await first.until_shown("Paused")
    await closes_tab(first)
    await asyncio.sleep(3 * GONE_S)
    other = FolderLock(tmp_path)
    assert other.take()
    await FolderStore(tmp_path).run.close()
    other.release()
    await loads_again(first)
    await first.until_shown("How many minutes?")


async def test_a_window_that_only_reads_says_first_that_a_session_is_in_progress(tmp_path: Path) -> None:
    owners = Owners()
    first = await at_work(tmp_path, owners)
    second = await opened(tmp_path, owners, "second")
    assert second.shows(IN_PROGRESS)
    assert next(text for text in second.texts() if ANOTHER_WINDOW in text).startswith(IN_PROGRESS)
    await first.press("Pause")
    await first.until_shown("Paused")
    await first.press("End here and log")
    await first.until_shown("How was it?")
    await first.press("Save")
    await first.until_shown("1 session")
    await until_gone(second, IN_PROGRESS)
    assert second.shows(ANOTHER_WINDOW)


@pytest.mark.parametrize(
    "code", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO], ids=errno.errorcode.get
)
@pytest.mark.parametrize("in_session", [False, True])
async def test_a_window_opens_whatever_the_disk_refuses_and_says_so(
    code: int, in_session: bool, tmp_path: Path
) -> None:
    for step in range(1, 40):
        folder = tmp_path / str(step)
        await left_behind(folder, in_session=in_session)
        disk = Disk(folder, fails=failing_from(step, code), only_changes=True)
        with disk.in_use():
            client = await opened(folder, Owners(), "next")
            refused = disk.steps >= step
            await until_any(client, *FIRST[in_session])
            if refused and in_session:  # elsewhere only what can be derived again may be refused, untold
                await until_any(client, ONLY_SHOWS, MEANWHILE)
            assert refused or not client.shows(ONLY_SHOWS)
            if client.shows(ONLY_SHOWS):
                await client.press(USE_THIS_WINDOW)
                await client.until_shown(ONLY_SHOWS)
        if client.shows(ONLY_SHOWS):
            await client.press(USE_THIS_WINDOW)
            await until_gone(client, ONLY_SHOWS)
            await client.until_shown(FIRST[in_session][0])
        if not refused:
            return
    raise AssertionError("opening never came to an end")


async def test_a_window_that_comes_back_to_a_disk_that_refuses_only_reads_until_it_works(
    tmp_path: Path,
) -> None:
    first = await at_work(tmp_path, Owners())
    await closes_tab(first)
    await asyncio.sleep(3 * GONE_S)
    with Disk(tmp_path, fails=failing_from(1, errno.EROFS), only_changes=True).in_use():
        await loads_again(first)
        await first.until_shown(ONLY_SHOWS)
    await until_gone(first, ONLY_SHOWS)
    await first.until_shown("Paused")
    assert not FolderLock(tmp_path).take()


async def left_behind(folder: Path, *, in_session: bool) -> None:
    """A folder in which a session was done, or is in progress."""
    client = await at_work(folder, Owners())
    if not in_session:
        await client.press("Pause")
        await client.until_shown("Paused")
        await client.press("End here and log")
        await client.until_shown("How was it?")
        await client.press("Save")
        await client.until_shown("1 session")
    await closes_tab(client)
    await asyncio.sleep(2 * GONE_S)


async def test_a_folder_that_may_only_be_read_opens_a_window_that_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As a folder on a read-only disk: its lock cannot be taken."""
    await at_work(tmp_path, Owners())
    with Disk(tmp_path, fails=failing_from(1, errno.EROFS)).in_use():
        client = await opened(tmp_path, Owners(), "next")
        await client.until_shown("can only be read")
        assert client.shows(ONLY_SHOWS)
        assert client.shows(IN_PROGRESS)
