"""The real server with the smallest application there is, for tests that play the Python side of the cues."""

import asyncio
import contextlib
import queue
import threading
from collections.abc import Callable, Coroutine
from typing import Any

import flet as ft
from app_process import enter, gives_addresses, origin_of
from places import ASSETS
from playwright.sync_api import BrowserContext, Page

from companion.services.clock import SystemClock
from companion.services.page_channel import PageChannel
from companion.services.page_cues import PageCuePlayer
from companion.services.page_messages import Fired, PageMessage
from companion.web.door import Door
from companion.web.server import serve

LIMIT_S = 60  # only so that a hang ends


class CueServer:
    """The real server in a thread, with the smallest application: each session puts a player on the queue."""

    def __init__(self) -> None:
        self.players: queue.Queue[PageCuePlayer] = queue.Queue()
        self.messages: queue.Queue[PageMessage] = queue.Queue()
        self._held: list[PageCuePlayer] = []
        self._door: queue.Queue[Door] = queue.Queue()
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def start(self) -> None:
        self._thread.start()
        door = self._door.get(timeout=LIMIT_S)
        self.url = origin_of(door.new_address())
        gives_addresses(self.url, door.new_address)

    def stop(self) -> None:
        self._loop.call_soon_threadsafe(self._serving.cancel)
        self._thread.join(timeout=LIMIT_S)

    def run(self, work: Coroutine[Any, Any, None]) -> None:
        """Awaits a call of a player in the server's own loop, as the application would."""
        asyncio.run_coroutine_threadsafe(work, self._loop).result(timeout=LIMIT_S)

    def player(self) -> PageCuePlayer:
        """The player of the next session, once it has heard from its page."""
        return self.players.get(timeout=LIMIT_S)

    def until(self, true: Callable[[], bool]) -> None:
        """Waits until a message of the page has made `true` true."""
        while not true():
            self.messages.get(timeout=LIMIT_S)

    def fired(self, count: int) -> list[Fired]:
        found: list[Fired] = []
        while len(found) < count:
            message = self.messages.get(timeout=LIMIT_S)
            if isinstance(message, Fired):
                found.append(message)
        return found

    async def _main(self, page: ft.Page, channel: PageChannel) -> None:
        player = PageCuePlayer(channel, SystemClock())
        player.watch(self.messages.put)
        self._held.append(player)
        page.add(ft.Text("Ready to go"))
        assert await player.start(within_s=LIMIT_S) is not None
        self.players.put(player)

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        self._serving = self._loop.create_task(
            serve(self._main, port=0, assets_dir=ASSETS, on_ready=self._door.put)
        )
        with contextlib.suppress(asyncio.CancelledError):
            self._loop.run_until_complete(self._serving)
        self._loop.close()


def open_tab(context: BrowserContext, server: CueServer) -> tuple[Page, PageCuePlayer]:
    """A tab that was tapped once, so that the browser lets it vibrate, and the player of its session."""
    page = context.new_page()
    enter(page, server.url)
    player = server.player()
    page.mouse.click(200, 600)
    return page, player
