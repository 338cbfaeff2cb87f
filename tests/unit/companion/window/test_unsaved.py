"""A window says on every screen what is not saved yet, and no longer once it is."""

from __future__ import annotations

import errno
from pathlib import Path

from disk_model import Disk, failing_from
from flet_client import window_on

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
