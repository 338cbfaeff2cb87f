"""The page around the offline build's Python: the channel of the cues, what is kept, and what the page says.

Imports only where Python runs in a worker (Pyodide).
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable

import flet_js
import js
from pyodide.ffi import create_proxy

from companion.services.page_channel import Broadcast, BroadcastChannel, is_page_token
from companion.window import READ_ONLY
from storage.backup import gather, write_backup
from storage.browser import BrowserStore
from storage.indexed import open_shelves
from storage.memory_shelves import MemoryShelves
from storage.problem import StorageProblem
from storage.protocol import Store
from storage.shelves import Shelves
from storage.web_lock import WebLock

_tasks: set[asyncio.Task[None]] = set()


def open_page_channel() -> BroadcastChannel:
    """The channel to the script of the cues in the page that started this worker."""
    return BroadcastChannel(lambda receive: _open(f"cues-{_page_token()}", receive))


class BrowserRecords:
    """What this browser keeps, as one window has it: the first one writes, or the one where a person says so.

    Where the browser keeps nothing a session can be done all the same; the page says so.
    """

    def __init__(self) -> None:
        self._page = _open(f"window-{_page_token()}", self._asked)
        self._shelves: Shelves | None = None
        self._lock: WebLock | None = None

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        if self._lock is None or take_over:  # who lost it asks again only when the person says so
            self._lock = WebLock(on_lost=on_lost)
            await self._lock.take(take_over=take_over)
        if self._shelves is None:
            self._shelves = await self._opened()
        store = BrowserStore(self._shelves, may_write=self._lock.holds, on_refused=self._refused)
        return store, READ_ONLY.get(self._lock.standing, "")

    def close(self) -> None:
        if self._lock is not None:
            self._lock.release()

    async def _opened(self) -> Shelves:
        try:
            return await open_shelves()
        except StorageProblem as problem:
            self._refused(problem)
            return MemoryShelves()

    def _refused(self, problem: StorageProblem) -> None:
        self._tell(kind="problem", text=str(problem))

    def _tell(self, **message: str) -> None:
        self._page.postMessage(json.dumps(message))

    def _asked(self, text: str) -> None:
        if json.loads(text).get("kind") == "copy":
            task = asyncio.ensure_future(self._copy())
            _tasks.add(task)
            task.add_done_callback(_tasks.discard)

    async def _copy(self) -> None:
        """Sends a backup of all that is kept, for the page to save as a file."""
        if self._shelves is not None:
            gathered = await gather(BrowserStore(self._shelves))
            self._tell(kind="copy", text=write_backup(gathered.holdings).decode())


def _page_token() -> str:
    """The page's token; it came with the worker's arguments."""
    token = str(flet_js.args.to_py().get("page_token", ""))
    if not is_page_token(token):
        raise RuntimeError(
            "the page has given this worker no token: cues.js must be loaded before the client"
        )
    return token


def _open(name: str, receive: Callable[[str], None]) -> Broadcast:
    channel: Broadcast = js.BroadcastChannel.new(name)
    channel.onmessage = create_proxy(lambda event: receive(str(event.data)))  # type: ignore[attr-defined]
    return channel
