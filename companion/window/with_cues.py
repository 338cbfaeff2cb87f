"""A window with the cues that its client can give: the script of our page, or Flet's own client."""

from __future__ import annotations

from functools import partial

import flet as ft

from companion.services.clock import SystemClock, is_zone, local_zone
from companion.services.copies_folder import PageFolder
from companion.services.device_cues import DeviceCuePlayer
from companion.services.page_channel import PageChannel
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import (
    CapabilitiesChanged,
    FilesDropped,
    FolderAnswer,
    Hello,
    PageMessage,
    RecordsKept,
)
from companion.services.touch import android_touch, by_pulses
from companion.state.screen import Screen
from companion.window.records import Records
from companion.window.window import Window
from companion.words.saying import msgid

NOTHING_FELT = msgid(
    "This window gives no vibration and no sound: keep the clock in view. In the browser every switch can be "
    "felt or heard."
)


async def window_on_page(channel: PageChannel, records: Records) -> Window:
    """A window whose cues and time zone are those of the page's script."""
    cues = PageCuePlayer(channel, SystemClock())
    hello = await cues.start()
    zone = hello.zone if hello and is_zone(hello.zone) else local_zone()  # a slow page tells it later
    window = Window(records, clock=SystemClock(), cues=cues, zone=zone)
    window.move_to(zone, hello.languages if hello else ())
    window.take_link = cues.take_link
    window.folder = folder = PageFolder(channel)
    cues.watch(partial(_hear, window, folder))
    return window


def _hear(window: Window, folder: PageFolder, message: PageMessage) -> None:
    """Takes in what the page says about itself."""
    if isinstance(message, Hello | CapabilitiesChanged):
        _note_records(window, message.capabilities.records)
    if isinstance(message, CapabilitiesChanged) and window.state.screen is Screen.cues:
        window.draw()
    elif isinstance(message, Hello):
        window.move_to(message.zone if is_zone(message.zone) else None, message.languages)
    elif isinstance(message, FilesDropped):
        window.files_dropped = message.count
    elif isinstance(message, FolderAnswer):
        folder.take(message)


def _note_records(window: Window, records: RecordsKept) -> None:
    """Takes in how long the browser keeps the records, once it has answered."""
    device = window.state.device
    if device.records != records:
        device.records = records
        window.draw()


def window_on_device(page: ft.Page, records: Records) -> Window:
    """A window in Flet's own client, on a phone or a desk: only a phone can be felt."""
    haptic, wakelock = ft.HapticFeedback(), ft.Wakelock()
    felt = page.platform is not None and page.platform.is_mobile()
    cues = DeviceCuePlayer(
        SystemClock(),
        touch=(android_touch() or by_pulses(haptic.heavy_impact)) if felt else None,
        keep_awake=lambda on: wakelock.enable() if on else wakelock.disable(),  # type: ignore[no-untyped-call]
    )
    remark = "" if felt else NOTHING_FELT
    return Window(records, clock=SystemClock(), cues=cues, zone=local_zone(), remark=remark)
