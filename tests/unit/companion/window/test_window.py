"""Windows over one data folder, with Flet's own client in place of a page: first screen, session, owner."""

import asyncio
from pathlib import Path

import flet as ft
import pytest
from builders import profile
from flet_client import FletClient, window_on

from companion import app
from companion.views.after.log import NOT_OVER
from companion.views.controls.frame import USE_THIS_WINDOW
from companion.window.records import ANOTHER_WINDOW
from companion.window.with_cues import NOTHING_FELT
from storage.folder.owner import Owners
from storage.folder.store import FolderStore


async def opened(
    folder: Path, owners: Owners, token: str, *, platform: ft.PagePlatform = ft.PagePlatform.LINUX
) -> FletClient:
    return await window_on(folder, owners=owners, token=token, platform=platform)


async def closed(client: FletClient) -> None:
    client.session.close()
    await asyncio.sleep(0)


async def with_a_session(folder: Path, owners: Owners, token: str = "first") -> FletClient:
    client = await opened(folder, owners, token)
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    await client.press("Start")
    await client.until_shown("Something hurts")
    return client


async def test_a_window_opens_on_the_cautions_and_says_that_it_cannot_be_felt(tmp_path: Path) -> None:
    client = await opened(tmp_path, Owners(), "window")
    await client.until_shown("This is general training information")
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    assert client.shows(NOTHING_FELT)
    saved = await FolderStore(tmp_path).person.profile()
    assert saved is not None
    assert saved.cautions_read_at is not None
    await closed(client)


async def test_a_late_answer_of_a_control_that_has_gone_does_no_harm(tmp_path: Path) -> None:
    client = await opened(tmp_path, Owners(), "window")
    gone = 10**6
    client.session.handle_invoke_method_results(gone, "late", None, None)
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    await closed(client)


async def test_a_session_started_in_a_window_is_kept_and_goes_on_in_the_next_one(tmp_path: Path) -> None:
    first = await with_a_session(tmp_path, Owners())
    running = await FolderStore(tmp_path).run.read()
    assert running is not None
    assert [event.kind for event in running.events] == ["started"]
    await closed(first)
    again = await opened(tmp_path, Owners(), "window")
    await again.until_shown("Paused")
    assert again.shows("You were away for")
    await closed(again)


async def test_a_second_window_only_reads_until_the_person_uses_it(tmp_path: Path) -> None:
    owners = Owners()
    first = await with_a_session(tmp_path, owners)
    second = await opened(tmp_path, owners, "second")
    await second.until_shown(ANOTHER_WINDOW)
    assert not first.shows(ANOTHER_WINDOW)
    await second.press(USE_THIS_WINDOW)
    await second.until_shown("Paused")
    await first.until_shown(ANOTHER_WINDOW)
    assert not second.shows(ANOTHER_WINDOW)
    await second.press("End here and log")
    await second.until_shown("How was it?")
    await closed(first)
    await closed(second)


async def test_an_end_by_a_slip_of_the_finger_is_taken_back(tmp_path: Path) -> None:
    client = await with_a_session(tmp_path, Owners())
    await client.press("Pause")
    await client.until_shown("Paused")
    await client.press("End here and log")
    await client.until_shown("How was it?")
    await client.press(NOT_OVER)
    await client.until_shown("Paused")
    await client.press("Go on")
    await client.until_shown("Warm-up")
    running = await FolderStore(tmp_path).run.read()
    assert running is not None
    assert [event.kind for event in running.events][1:] == ["paused", "ended", "reopened", "resumed"]
    await closed(client)


async def test_the_same_page_again_takes_the_run_over_without_asking(tmp_path: Path) -> None:
    owners = Owners()
    first = await with_a_session(tmp_path, owners, "the page")
    again = await opened(tmp_path, owners, "the page")
    await again.until_shown("Paused")
    await first.until_shown(ANOTHER_WINDOW)
    await asyncio.sleep(0.2)  # a few turns of the watch: the first one does not take it back
    assert not again.shows(ANOTHER_WINDOW)
    await closed(first)
    await closed(again)


async def test_a_phone_feels_the_cues_of_a_session_and_keeps_its_screen_on(tmp_path: Path) -> None:
    client = await opened(tmp_path, Owners(), "phone", platform=ft.PagePlatform.ANDROID)
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    assert not client.shows(NOTHING_FELT)
    await client.press("Start")
    await client.until_shown("Something hurts")
    await client.press("Something hurts")
    await client.until_shown("Stop. Weight down.")
    await asyncio.sleep(0.05)
    assert {"enable", "heavy_impact"} <= set(client.connection.calls)
    await closed(client)


async def test_a_fault_is_told_in_a_sentence_and_lays_no_traceback_over_the_screen(tmp_path: Path) -> None:
    client = await with_a_session(tmp_path, Owners())
    (tmp_path / "running.jsonl").unlink()
    await client.press("Done")
    await client.until_shown("No session is in progress.")
    assert client.connection.crashes == []
    await closed(client)


def test_a_window_is_not_opened_where_there_is_no_display_and_never_serves_the_network(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.setenv(app.SERVER_ONLY, "1")
    monkeypatch.setattr("platform.system", lambda: "Linux")
    assert app.main(["--window"]) == 2
    assert app.NO_DISPLAY in capsys.readouterr().err


async def test_where_a_newer_version_kept_the_records_it_is_said(
    tmp_path: Path,
) -> None:
    """The page that says so stayed blank: it was drawn outside of any renderer."""
    await FolderStore(tmp_path).person.save_profile(profile())
    path = tmp_path / "profile.json"
    newer = path.read_bytes().replace(b'"version": 1', b'"version": 2', 1)
    path.write_bytes(newer)
    client = await opened(tmp_path, Owners(), "window")
    await client.until_shown(app.UNREADABLE)
    assert client.shows("A newer version of the companion wrote “profile.json”")
    assert client.connection.crashes == []
    assert path.read_bytes() == newer
    await closed(client)
