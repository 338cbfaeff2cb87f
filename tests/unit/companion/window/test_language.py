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
from companion.words.saying import say, speaking
from storage.folder.store import FolderStore


@pytest.fixture(params=[{"en": "English", "de": "Deutsch"}, {"en": "English"}], ids=len)
def offered(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[dict[str, str]]:
    """The languages that are offered."""
    for code in (*NAMES, *request.param):
        monkeypatch.delitem(NAMES, code, raising=False)
    for code, name in request.param.items():
        monkeypatch.setitem(NAMES, code, name)
    chosen.cache_clear()
    yield request.param
    chosen.cache_clear()


async def test_a_language_is_chosen_in_settings_where_there_are_several(
    tmp_path: Path, offered: dict[str, str]
) -> None:
    screen = Screen(tmp_path)
    await screen.store.person.save_profile(profile(cautions_read_at=BEGAN))
    await run_page(screen.client.page, screen.window)
    await screen.client.until_shown("How many minutes?")
    await screen.client.press("Settings")
    await screen.client.until_shown("Appearance")
    state = screen.window.state
    assert screen.client.shows("Language") == screen.client.shows("Deutsch") == (len(offered) > 1)
    assert state.words.language.code == "en"
    for code in set(offered) - {"en"}:
        await screen.client.press(offered[code])
        assert state.words.language.code == code
        assert (await FolderStore(tmp_path).person.settings()).language == code
        state.device.languages = ("en-GB",)
        with speaking(state.words):
            device = say("The device’s")
        await screen.client.until_shown(device)
        await screen.client.press(device)
        assert state.words.language.code == "en"
        assert (await FolderStore(tmp_path).person.settings()).language == ""
