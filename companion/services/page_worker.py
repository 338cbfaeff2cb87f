"""The way to the page in the offline build; imports only where Python runs in a worker (Pyodide)."""

from __future__ import annotations

from collections.abc import Callable

import flet_js
import js
from pyodide.ffi import create_proxy

from companion.services.page_channel import Broadcast, BroadcastChannel, is_page_token


def open_page_channel() -> BroadcastChannel:
    """The channel to the page that started this worker; its token came with the worker's arguments."""
    token = str(flet_js.args.to_py().get("page_token", ""))
    if not is_page_token(token):
        raise RuntimeError(
            "the page has given this worker no token: cues.js must be loaded before the client"
        )

    def open_channel(receive: Callable[[str], None]) -> Broadcast:
        channel: Broadcast = js.BroadcastChannel.new(f"cues-{token}")
        channel.onmessage = create_proxy(lambda event: receive(str(event.data)))  # type: ignore[attr-defined]
        return channel

    return BroadcastChannel(open_channel)
