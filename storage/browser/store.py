"""The store in a browser: each document is an entry of the browser's database, changed in single steps.

Only the window that holds the lock writes (storage/browser/lock.py).
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from uuid import uuid4

from storage.browser.documents import ONLY, ShelvedModels, put
from storage.browser.person import BrowserPerson
from storage.browser.plans import BrowserPlans
from storage.browser.run import BrowserRun
from storage.browser.sessions import BrowserSessions
from storage.browser.shelves import SHELVES, Ask, Remove, Shelves
from storage.models import DeviceName, Removed, Tombstone
from storage.problem import StorageProblem, Trouble

KEPT_WHEN_ERASED = ("tombstones", "trainees")
"""Shelves that erasing everything leaves: others who train here keep their records."""


class BrowserStore:
    """Keeps everything in one browser database.

    ``may_write`` is asked before each change; ``on_refused`` hears of each change that the browser refused.
    """

    def __init__(
        self,
        shelves: Shelves,
        *,
        may_write: Callable[[], bool] = lambda: True,
        on_refused: Callable[[StorageProblem], None] = lambda _: None,
    ) -> None:
        self._models = ShelvedModels(shelves, may_write=may_write, on_refused=on_refused)
        self.person = BrowserPerson(self._models)
        self.plans = BrowserPlans(self._models)
        self.sessions = BrowserSessions(self._models)
        self.run = BrowserRun(self._models)

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        async with self._models.changing:
            held, noted = await self._models.shelves.read(Ask("records"), Ask("pain-notes"))
            erased = tuple(document.key for document in held)
            stones = [
                put("tombstones", record_id, Tombstone(record_id=record_id, erased_at=at))
                for record_id in (*erased, *(document.key for document in noted))
            ]
            emptied = [Remove(shelf) for shelf in SHELVES if shelf not in KEPT_WHEN_ERASED]
            await self._models.change(*emptied, *stones)
            self.run.forget()
        return erased

    async def device(self) -> str:
        async with self._models.changing:
            named = await self._models.one("device", DeviceName)
            if named is None:
                named = DeviceName(id=str(uuid4()))
                await self._models.change(put("device", ONLY, named))
        return named.id

    async def removed(self) -> frozenset[str]:
        return frozenset(one.revision for one in await self._models.all("removed", Removed))

    async def settle(self) -> None:
        """A step of the database is durable or undone: nothing is left behind."""

    async def troubles(self) -> tuple[Trouble, ...]:
        return tuple(self._models.troubles)
