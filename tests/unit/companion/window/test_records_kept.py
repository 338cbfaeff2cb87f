"""How long the browser keeps the records: said in the settings, and on an iPhone or iPad explained once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from builders import profile
from flet_client import FletClient, Screen, nothing_to_fill
from page_words import hello_text
from somebody import BEGAN

from companion.app import run_page
from companion.services.page_channel import SocketChannel
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import Capabilities, RecordsKept, parse_from_page
from companion.views.home.backup import BACKUP, KEPT, SAVE
from companion.views.session.setup import HOME_SCREEN
from companion.window.folder_records import FolderRecords
from companion.window.with_cues import window_on_page
from storage.folder.owner import Owners
from storage.folder.store import FolderStore

TOKEN = "0123456789abcdef" * 2


def able(records: RecordsKept) -> Capabilities:
    return Capabilities(vibrate=False, audio="locked", voice="none", wake_lock=True, records=records)


async def opened(folder: Path, records: RecordsKept) -> FletClient:
    """A window whose page has said this."""
    screen = Screen(folder)
    screen.window.cues.capabilities = able(records)  # type: ignore[misc]
    await screen.store.person.save_profile(profile(cautions_read_at=BEGAN))
    await run_page(screen.client.page, screen.window)
    await screen.client.until_shown("How many minutes?")
    return screen.client


@pytest.mark.parametrize("records", KEPT)
async def test_the_settings_say_how_long_the_browser_keeps_the_records(
    tmp_path: Path, records: RecordsKept
) -> None:
    client = await opened(tmp_path, records)
    await client.press("Settings")
    await client.until_shown(KEPT[records])


async def test_where_no_browser_keeps_the_records_nothing_is_said_of_it(tmp_path: Path) -> None:
    client = await opened(tmp_path, "elsewhere")
    await client.press("Settings")
    await client.until_shown(BACKUP)
    assert not any(map(client.shows, KEPT.values()))


async def test_on_an_iphone_the_home_screen_is_explained_until_that_was_read_and_a_backup_offered(
    tmp_path: Path,
) -> None:
    client = await opened(tmp_path, "home_screen")
    await client.until_shown(HOME_SCREEN)
    await client.press(SAVE)
    await client.until_shown("The backup session-companion")
    assert client.shows(HOME_SCREEN)
    await client.press("All right")
    await client.until_gone(HOME_SCREEN)
    assert not (await opened(tmp_path, "home_screen")).shows(HOME_SCREEN)


@pytest.mark.parametrize("records", ["elsewhere", "unsaid", "for_good", "while_room", "seven_days"])
async def test_elsewhere_the_home_screen_is_not_spoken_of(tmp_path: Path, records: RecordsKept) -> None:
    assert not (await opened(tmp_path, records)).shows(HOME_SCREEN)


async def test_an_answer_that_comes_after_the_window_has_opened_is_taken_in(tmp_path: Path) -> None:
    """A browser may ask the person first."""
    channel = SocketChannel(TOKEN)
    records = FolderRecords(Owners(), tmp_path, TOKEN, fill=nothing_to_fill)
    start, hello = PageCuePlayer.start, parse_from_page(hello_text())
    assert hello is not None

    async def answered(cues: PageCuePlayer) -> object:
        await channel.receive(hello)
        return await start(cues)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(PageCuePlayer, "start", answered)
        window = await window_on_page(channel, records)
    await FolderStore(tmp_path).person.save_profile(profile(cautions_read_at=BEGAN))
    await window.open()
    drawn: list[str] = []
    window.draw = lambda: drawn.append(window.state.device.records)
    told = {"kind": "capabilities", "capabilities": able("for_good").model_dump()}
    for _ in range(2):
        message = parse_from_page(json.dumps(told))
        assert message is not None
        await channel.receive(message)
    assert drawn == ["for_good"]
    await window.open()
    assert window.state.device.records == "for_good", "also after the records were read again"
