"""Channels from the offline build's Python to the page around it.

Can be imported only where Python runs in a worker of a page (Pyodide).
"""

from __future__ import annotations

from collections.abc import Callable

import flet_js
import js
from pyodide.ffi import create_proxy

from companion.services.page_channel import Broadcast, BroadcastChannel, is_page_token


def open_page_channel() -> BroadcastChannel:
    """The channel to the script of the cues, in the page that started this worker."""
    return BroadcastChannel(lambda receive: open_channel(f"cues-{page_token()}", receive))


def page_token() -> str:
    """The page's token, from the arguments of the worker. Raises RuntimeError where there is none."""
    token = str(flet_js.args.to_py().get("page_token", ""))
    if not is_page_token(token):
        raise RuntimeError(
            "the page has given this worker no token: cues.js must be loaded before the client"
        )
    return token


def open_channel(name: str, receive: Callable[[str], None]) -> Broadcast:
    """Opens a broadcast channel of the browser; ``receive`` is called with each text that arrives."""
    channel: Broadcast = js.BroadcastChannel.new(name)
    channel.onmessage = create_proxy(lambda event: receive(str(event.data)))  # type: ignore[attr-defined]
    return channel
