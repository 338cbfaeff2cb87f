"""The language of a window: the device's, until somebody chooses one in Settings."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from builders import profile
from flet_client import Screen
from somebody import BEGAN

from companion.app import run_page
from companion.words.language import NAMES, chosen
from storage.folder.store import FolderStore


@pytest.fixture
def german_too(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """German is offered beside English."""
    monkeypatch.setitem(NAMES, "de", "Deutsch")
    chosen.cache_clear()
    yield
    chosen.cache_clear()


async def in_settings(folder: Path) -> Screen:
    screen = Screen(folder)
    await screen.store.person.save_profile(profile(cautions_read_at=BEGAN))
    screen.window.move_to(None, ("de-AT", "en"))
    await run_page(screen.client.page, screen.window)
    await screen.client.until_shown("How many minutes?")
    await screen.client.press("Settings")
    await screen.client.until_shown("Appearance")
    return screen


@pytest.mark.usefixtures("german_too")
async def test_the_language_is_that_of_the_device_until_one_is_chosen(tmp_path: Path) -> None:
    screen = await in_settings(tmp_path)
    state = screen.window.state
    assert screen.client.shows("Language")
    assert state.words.language.code == "de"
    for name, saved, spoken in (("English", "en", "en"), ("Deutsch", "de", "de"), ("The device’s", "", "de")):
        await screen.client.press(name)
        assert state.words.language.code == spoken
        assert (await FolderStore(tmp_path).person.settings()).language == saved


async def test_where_there_is_one_language_no_choice_is_offered(tmp_path: Path) -> None:
    screen = await in_settings(tmp_path)
    assert not screen.client.shows("Language")
    assert screen.window.state.words.language.code == "en"
