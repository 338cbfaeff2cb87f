"""A link that comes while the window is open: it is shown where nothing more important is."""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import HAND, plan, profile, work
from flet_client import nothing_to_fill
from recording_cues import RecordingCuePlayer
from somebody import BEGAN

from companion.services.clock import SystemClock
from companion.state.screen import Screen
from companion.window.folder_records import FolderRecords
from companion.window.window import TAKES_LINKS, Window
from engine.plan.link import fragment
from storage.folder.owner import Owners
from storage.folder.store import FolderStore

GUEST = plan(work(HAND.slug), id="guest", name="A guest's evening", author="Ines Okonjo")


@pytest.fixture
async def window(tmp_path: Path) -> Window:
    await FolderStore(tmp_path).person.save_profile(profile(cautions_read_at=BEGAN))
    records = FolderRecords(Owners(), tmp_path, "window", fill=nothing_to_fill)
    window = Window(records, clock=SystemClock(), cues=RecordingCuePlayer(), zone="UTC")
    await window.open()
    links = [fragment(GUEST)]
    window.take_link = lambda: links.pop() if links else ""
    return window


@pytest.mark.parametrize("screen", TAKES_LINKS)
async def test_a_link_is_shown_wherever_the_person_looks_around(window: Window, screen: Screen) -> None:
    """On all but the first screen it once waited in silence."""
    window.state.screen = screen
    await window.watch()
    assert window.state.screen is Screen.plan
    assert window.state.plans.shown == GUEST


@pytest.mark.parametrize("screen", [Screen.cautions, Screen.desk])
async def test_it_waits_while_something_else_comes_first(window: Window, screen: Screen) -> None:
    window.state.screen = screen
    await window.watch()
    assert window.state.screen is screen
    window.state.screen = Screen.setup
    await window.watch()
    assert window.state.screen is Screen.plan
