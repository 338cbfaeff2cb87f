"""The time zone of a window: that of its page, however late the page tells it, and of the profile."""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import profile
from flet_client import nothing_to_fill
from page_words import hello_text
from somebody import BEGAN, started

from companion.services import clock
from companion.services.page_channel import SocketChannel
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import parse_from_page
from companion.window import with_cues
from companion.window.folder_records import FolderRecords
from companion.window.window import Window
from companion.window.with_cues import window_on_page
from storage.folder.owner import Owners
from storage.folder.store import FolderStore

TOKEN = "0123456789abcdef" * 2
KIRITIMATI = "Pacific/Kiritimati"
"""UTC+14, the earliest local date there is (IANA time zone database)."""


async def says_hello(channel: SocketChannel, zone: str) -> None:
    message = parse_from_page(hello_text(zone=zone))
    assert message is not None
    await channel.receive(message)


@pytest.fixture
def channel() -> SocketChannel:
    return SocketChannel(TOKEN)


@pytest.fixture
async def window(channel: SocketChannel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Window:
    """A window whose page says nothing in time."""
    monkeypatch.setitem(PageCuePlayer.start.__kwdefaults__, "within_s", 0.01)
    monkeypatch.setattr(with_cues, "local_zone", lambda: "Europe/Oslo")
    await FolderStore(tmp_path).person.save_profile(profile(cautions_read_at=BEGAN, zone="UTC"))
    records = FolderRecords(Owners(), tmp_path, TOKEN, fill=nothing_to_fill)
    window = await window_on_page(channel, records)
    await window.open()
    return window


async def zone_kept(folder: Path) -> str:
    kept = await FolderStore(folder).person.profile()
    assert kept is not None
    return kept.zone


async def test_until_the_page_tells_it_the_zone_is_that_of_the_computer(
    window: Window, tmp_path: Path
) -> None:
    assert await zone_kept(tmp_path) == "Europe/Oslo"


async def test_a_zone_told_late_counts_from_then_on_and_renews_the_profile(
    window: Window, channel: SocketChannel, tmp_path: Path
) -> None:
    await says_hello(channel, KIRITIMATI)
    await window.watch()
    assert await zone_kept(tmp_path) == KIRITIMATI
    await window.do.session.start()
    running = await FolderStore(tmp_path).run.read()
    assert running is not None
    assert running.zone == KIRITIMATI
    offset = running.started_at.utcoffset()
    assert offset is not None
    assert offset.total_seconds() == 14 * 3_600
    await window.do.session.end_early()
    await window.do.log.save()
    (record,) = await FolderStore(tmp_path).sessions.records()
    assert record.zone == KIRITIMATI
    assert record.local_date == running.started_at.date()


@pytest.mark.parametrize("zone", ["", "Nowhere/Harbour", "../etc/passwd"])
async def test_what_is_no_zone_changes_nothing(
    window: Window, channel: SocketChannel, tmp_path: Path, zone: str
) -> None:
    message = parse_from_page(hello_text(zone=zone))
    if message is not None:
        await channel.receive(message)
    await window.watch()
    assert await zone_kept(tmp_path) == "Europe/Oslo"


async def test_a_record_is_of_the_zone_where_it_was_done_though_the_profile_is_of_another() -> None:
    person = await started()
    person.context.zone = KIRITIMATI
    await person.do.session.end_early()
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    assert record.zone == KIRITIMATI


def test_a_zone_is_one_of_the_database() -> None:
    assert clock.is_zone(KIRITIMATI)
    assert not clock.is_zone("Nowhere/Harbour")
