"""Who may write in the browser: the window whose worker holds the lock (Web Locks API, W3C).

The lock ends with the window, however that ends. A person may take it over in another window, and the window
that had it then writes no more. A window that does not get it waits in line, and has it once nobody else
does. This module can be imported only where Python runs in the browser.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import js
from pyodide.ffi import create_proxy, to_js

from storage.browser.indexeddb import build_folder
from storage.store import WriteAccess
from storage.trainees import FIRST

NAME = "session-companion-owner"
"""With the folder of the build after it: one origin may hold several."""
WAIT_MS = 400
"""A window that reloads releases the lock well within this time. † Our judgement, no source."""


def lock_of(key: str = FIRST) -> str:
    """The name of the lock on the records of one person who trains in this browser."""
    return f"{NAME} {build_folder()} {key}".rstrip()


class WebLock:
    """One window's hold on the database; a store asks ``holds`` before each change."""

    def __init__(self, *, on_lost: Callable[[], None], name: str = "") -> None:
        self.access = WriteAccess.another_window
        self._on_lost, self._name = on_lost, name or lock_of()
        self._settled: asyncio.Future[None] | None = None
        self._let_go: Any = None
        self._in_line: Any = None

    def holds(self) -> bool:
        return self.access is WriteAccess.owner

    async def take(self, *, take_over: bool = False) -> bool:
        """Asks for the lock; ``take_over`` takes it from the window that holds it. Returns ``holds``."""
        if not hasattr(js.navigator, "locks"):  # A browser without locks: nothing can tell windows apart.
            self.access = WriteAccess.owner
            return True
        self._settled = asyncio.get_running_loop().create_future()
        self._ask(take_over=take_over)
        await asyncio.wait({self._settled}, timeout=WAIT_MS / 1_000)
        return self.holds()

    def _ask(self, *, take_over: bool = False) -> None:
        """Takes the lock over, or stands in line for it."""
        self._leave_line()
        options = {"steal": True}
        if not take_over:
            self._in_line = js.AbortController.new()
            options = {"signal": self._in_line.signal}
        granted, lost = create_proxy(self._granted), create_proxy(self._refused)
        asked = to_js(options, dict_converter=js.Object.fromEntries)
        js.navigator.locks.request(self._name, asked, granted).catch(lost)

    def _leave_line(self) -> None:
        if self._in_line is not None:
            self._in_line.abort()
            self._in_line = None

    def release(self) -> None:
        self._leave_line()
        if self._let_go is not None:
            self._let_go()
            self._let_go, self.access = None, WriteAccess.released

    def _granted(self, _: Any) -> Any:
        """Called once the lock is held. It is held until the returned promise ends."""
        self.access, self._in_line = WriteAccess.owner, None
        self._settle()

        def hold(resolve: Any, _: Any) -> None:
            self._let_go = resolve

        return js.Promise.new(create_proxy(hold))

    def _refused(self, fault: Any) -> None:
        """Called when another window holds the lock or took it over, or when this page may use no locks."""
        if fault.name == "SecurityError":
            self.access = WriteAccess.owner
        elif self.holds():
            self.access, self._let_go = WriteAccess.taken_over, None
            self._on_lost()
            self._ask()
        self._settle()

    def _settle(self) -> None:
        if self._settled is not None and not self._settled.done():
            self._settled.set_result(None)
