"""Where the data folder is by the convention of each system, and whose folders are in it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from storage.folder.location import NAME, TRAINEES, default_folder, folder_of, keys_in, new_key
from storage.trainees import FIRST

HOME = Path("/home/runa")


@pytest.mark.parametrize(
    "platform, environment, expected",
    [
        ("linux", {}, "/home/runa/.local/share"),
        ("linux", {"XDG_DATA_HOME": "/srv/own"}, "/srv/own"),
        # XDG Base Directory Specification 0.8: "must be absolute", else it is ignored.
        ("linux", {"XDG_DATA_HOME": "own"}, "/home/runa/.local/share"),
        ("linux", {"XDG_DATA_HOME": ""}, "/home/runa/.local/share"),
        ("darwin", {"XDG_DATA_HOME": "/srv/own"}, "/home/runa/Library/Application Support"),
        ("win32", {"LOCALAPPDATA": "/c/users/runa/local"}, "/c/users/runa/local"),
        ("win32", {}, "/home/runa/AppData/Local"),
    ],
)
def test_the_folder_follows_the_system(platform: str, environment: dict[str, str], expected: str) -> None:
    assert default_folder(platform=platform, environment=environment, home=HOME) == Path(expected) / NAME


def test_the_folder_is_the_one_platformdirs_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reference: platformdirs ``user_data_path`` without an author, on the system the test runs on."""
    platformdirs = pytest.importorskip("platformdirs")
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    assert default_folder(platform=sys.platform) == platformdirs.user_data_path(NAME, appauthor=False)


def test_another_person_s_folder_is_known_by_a_key_of_ours_and_by_nothing_else(tmp_path: Path) -> None:
    assert keys_in(tmp_path) == (FIRST,)
    key = new_key()
    folder_of(tmp_path, key).mkdir(parents=True)
    (tmp_path / TRAINEES / "holidays").mkdir()
    (tmp_path / TRAINEES / new_key()).write_text("no folder", encoding="utf-8")
    assert keys_in(tmp_path) == (FIRST, key)
