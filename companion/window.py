"""One window over one data folder: its state and its actions, made anew when it gains or loses the folder."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Protocol

from companion.actions import Actions
from companion.samples import sample_plans
from companion.services.clock import Clock
from companion.services.cues import CuePlayer
from companion.services.files import Files, FilesInHand
from companion.state import Screen, State
from storage.database import NativeStore
from storage.owner import Owners, Ownership
from storage.protocol import Store
from storage.standing import Standing

ANOTHER_WINDOW = "Another window is using these records. This one shows them and changes nothing."
ANOTHER_PROGRAM = (
    "Another program is using these records: close it first. This window shows them and changes nothing."
)
READ_ONLY = {
    Standing.another_window: ANOTHER_WINDOW,
    Standing.taken_over: ANOTHER_WINDOW,
    Standing.another_program: ANOTHER_PROGRAM,
}


TAKES_PAGES = (Screen.setup, Screen.plans, Screen.pages)
"""Where files that are dropped on the window are taken for pages that came back."""


class Records(Protocol):
    """Where a window's records are, and whether it may change them."""

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        """The store, and why the window may only read; the reason is empty for the owner.

        ``on_lost`` is called when another window takes the records over.
        """
        ...

    def close(self) -> None: ...


class FolderRecords:
    """A data folder as one window of this process has it; its owner first fills it with ``fill``."""

    def __init__(
        self, owners: Owners, folder: Path, token: str, *, fill: Callable[[Store], Awaitable[None]]
    ) -> None:
        self._owners, self._folder, self._token, self._fill = owners, folder, token, fill
        self._ownership: Ownership | None = None

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Store, str]:
        owned = self._ownership
        if owned is None or take_over:  # who lost the folder asks for it again only when the person says so
            owned = self._owners.acquire(self._folder, self._token, on_stopped=on_lost, take_over=take_over)
            self._ownership = owned
        store = NativeStore(self._folder, may_write=owned.holds)
        if owned.holds():
            await self._fill(store)
        return store, READ_ONLY.get(owned.standing, "")

    def close(self) -> None:
        if self._ownership is not None:
            self._owners.release(self._folder, self._ownership)


class Window:
    """What a window shows and does. ``draw`` and ``files`` are set by whoever draws it, ``take_link`` by
    whoever knows the page's address; ``remark`` holds for the window."""

    def __init__(
        self, records: Records, *, clock: Clock, cues: CuePlayer, zone: str, remark: str = ""
    ) -> None:
        self._records, self._clock, self._zone = records, clock, zone
        self.cues, self.remark = cues, remark
        self.state = State()
        self.draw: Callable[[], None] = lambda: None
        self.files: Files = FilesInHand()
        self.take_link: Callable[[], str] = str
        self.lost = self.closed = self.files_dropped = self.less_motion = False

    async def open(self, *, take_over: bool = False) -> None:
        """Reads the records, as owner if nobody else is; with ``take_over`` another window is stopped."""
        store, reason = await self._records.open(take_over=take_over, on_lost=self._lose)
        self.lost = False
        self.state = State(read_only=reason, less_motion=self.less_motion, on_change=lambda: self.draw())
        self.do = Actions(
            self.state, store=store, clock=self._clock, cues=self.cues, files=self.files, zone=self._zone
        )
        await self.do.open(sample_plans)

    def move_less(self, asked: bool) -> None:
        """The device says whether it asks for less motion."""
        self.less_motion = self.state.less_motion = asked
        self.draw()

    async def take_over(self) -> None:
        """The person goes on in this window; a session in progress comes along, paused."""
        await self.open(take_over=True)

    def _lose(self) -> None:
        """Another window took the folder over: from now on nothing here counts the session."""
        self.state.live = None
        self.lost = True

    async def watch(self) -> None:
        """Called often: enters what the clock begins, and lets go where another window took over."""
        if self.lost:
            await self.cues.cancel()
            await self.cues.awake(False)
            await self.open()
        await self.do.watch()
        if self.state.screen is Screen.setup and (link := self.take_link()):
            self.do.open_link(link)  # only here: a session in progress, or the cautions, come first
        if self.files_dropped:
            self.files_dropped = False
            if self.state.screen in TAKES_PAGES:
                await self.do.take_pages()

    def close(self) -> None:
        """The page is gone for good: its records are free for the next window."""
        self.closed = True
        self._records.close()
