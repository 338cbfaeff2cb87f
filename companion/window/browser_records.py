"""The records of the offline build, in the browser's own database."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from uuid import uuid4

from companion.services.page_worker import open_channel, page_token
from companion.window.records import READ_ONLY
from companion.words.saying import said, say
from storage.browser.indexeddb import database_of, open_shelves
from storage.browser.lock import WebLock, lock_of
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Ask, Document, Put, Shelves
from storage.browser.store import BrowserStore
from storage.exchange.backup import gather, write_backup
from storage.problem import Cause, StorageProblem
from storage.store import Store
from storage.trainees import FIRST, TraineeHere, by_name, trainee_in

_tasks: set[asyncio.Task[None]] = set()


class BrowserRecords:
    """What this browser keeps, as one window has it: the first one writes, or the one where a person says so.

    Where the browser keeps nothing a session can be done all the same; the page says so.
    """

    def __init__(self) -> None:
        self._page = open_channel(f"window-{page_token()}", self._asked)
        self._key = FIRST
        self._shelves: Shelves | None = None
        self._in_memory: MemoryShelves | None = None
        self._lock: WebLock | None = None

    async def trainees(self) -> tuple[TraineeHere, ...]:
        shelves = await self._opened(FIRST)
        (others,) = await shelves.read(Ask("trainees", only_keys=True))
        if not others and self._shelves is None:
            self._shelves = shelves  # the only records there are
            return ()
        shelves.close()
        everyone = [await self._trainee(key) for key in (FIRST, *(one.key for one in others))]
        return by_name(everyone)

    async def _trainee(self, key: str) -> TraineeHere | None:
        shelves = await self._opened(key)
        try:
            return await trainee_in(BrowserStore(shelves, may_write=lambda: False), key)
        finally:
            shelves.close()

    async def add(self) -> str:
        shelves, key = await open_shelves(), uuid4().hex
        await shelves.change(Put("trainees", Document(key, "")))
        shelves.close()
        return key

    def choose(self, key: str) -> None:
        if key == self._key and self._lock is None:
            return
        self.close()
        if self._shelves is not None:
            self._shelves.close()
        self._key, self._lock, self._shelves = key, None, None

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        if self._lock is None:
            self._lock = WebLock(on_lost=on_lost, name=lock_of(self._key))
            await self._lock.take(take_over=take_over)
        elif take_over:
            await self._lock.take(take_over=True)
        if self._shelves is None:
            self._shelves = await self._opened(self._key)
        store = BrowserStore(self._shelves, may_write=self._lock.holds, on_refused=self._refused)
        return store, say(READ_ONLY.get(self._lock.access, ""))

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

    async def _opened(self, key: str) -> Shelves:
        if self._in_memory is not None:
            return self._in_memory
        try:
            return await open_shelves(database_of(key))
        except StorageProblem as problem:
            if problem.cause is Cause.browser_newer:
                self._tell(kind="too_old")
                raise  # without records the window would look like that of somebody new
            self._refused(problem)
            self._in_memory = MemoryShelves()
            return self._in_memory

    def _refused(self, problem: StorageProblem) -> None:
        self._tell(kind="problem", text=said(problem.what))

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
