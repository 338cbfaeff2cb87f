"""A window says on every screen what is not saved yet, and no longer once it is."""

from __future__ import annotations

import errno
from pathlib import Path

import flet as ft
from disk_model import Disk, failing_from
from flet_client import FletClient, labels_of, window_on

from companion.actions.keeping import NOT_YET


async def test_a_choice_on_a_full_disk_counts_and_is_said_to_be_unsaved_until_there_is_room(
    tmp_path: Path,
) -> None:
    client = await window_on(tmp_path)
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    disk = Disk(tmp_path, fails=failing_from(1, errno.ENOSPC))
    with disk.in_use():
        await client.press("A free wall")
        await client.until_shown(NOT_YET)
        assert client.shows("The disk is full: “kit.json” was not saved")
        await client.press("Plans")
        await client.until_shown("Write a new plan")
        assert client.shows(NOT_YET)
        disk.mend()
        await client.until_gone(NOT_YET)
    assert (tmp_path / "kit.json").exists()


async def test_what_is_said_above_a_screen_does_not_draw_the_screen_from_nothing(tmp_path: Path) -> None:
    """Found in WebKit on a slow disk: “Save” was pressed while the notice came, and the tap was lost."""
    client = await window_on(tmp_path)
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    before = button_ids(client)
    disk = Disk(tmp_path, fails=failing_from(1, errno.ENOSPC))
    with disk.in_use():
        await client.press("A free wall")
        await client.until_shown(NOT_YET)
        assert before.items() <= button_ids(client).items()
        disk.mend()
        await client.until_gone(NOT_YET)
    assert before.items() <= button_ids(client).items()


def button_ids(client: FletClient) -> dict[tuple[str, str], int]:
    """The number by which the client knows each button, by what it says."""
    return {labels_of(one): one._i for one in client.controls() if isinstance(one, ft.Button)}
