"""The records of the offline build, in the browser's own database."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable

from companion.services.page_worker import open_channel, page_token
from companion.window.records import READ_ONLY
from storage.browser.indexeddb import open_shelves
from storage.browser.lock import WebLock
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Shelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import gather, write_backup
from storage.problem import Cause, StorageProblem
from storage.store import Store

_tasks: set[asyncio.Task[None]] = set()


class BrowserRecords:
    """What this browser keeps, as one window has it: the first one writes, or the one where a person says so.

    Where the browser keeps nothing a session can be done all the same; the page says so.
    """

    def __init__(self) -> None:
        self._page = open_channel(f"window-{page_token()}", self._asked)
        self._shelves: Shelves | None = None
        self._lock: WebLock | None = None

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        if self._lock is None:
            self._lock = WebLock(on_lost=on_lost)
            await self._lock.take(take_over=take_over)
        elif take_over:
            await self._lock.take(take_over=True)
        if self._shelves is None:
            self._shelves = await self._opened()
        store = BrowserStore(self._shelves, may_write=self._lock.holds, on_refused=self._refused)
        return store, READ_ONLY.get(self._lock.access, "")

    async def only_read(self) -> Store:
        self.close()
        assert self._shelves is not None
        return BrowserStore(self._shelves, may_write=lambda: False)

    async def gain(self, _: Callable[[], None]) -> bool:
        return self._lock is not None and self._lock.holds()

    def take_again(self) -> bool:
        return False  # the lock goes with the page

    def close(self) -> None:
        if self._lock is not None:
            self._lock.release()

    async def _opened(self) -> Shelves:
        try:
            return await open_shelves()
        except StorageProblem as problem:
            if problem.cause is Cause.browser_newer:
                raise  # without records the window would look like that of somebody new
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
