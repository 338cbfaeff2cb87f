"""One window over one set of records. Gaining or losing the records gives it a new state and new actions."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from companion.actions.actions import Actions
from companion.actions.context import Context
from companion.samples import sample_plans
from companion.services.clock import Clock, ClockReading, read
from companion.services.copies_folder import CopiesFolder, NoFolder
from companion.services.cue_player import CuePlayer
from companion.services.files import Files, FilesInHand
from companion.state.app import State
from companion.state.person import Device
from companion.state.screen import Screen
from companion.window.records import ONLY_SHOWS, Records
from companion.window.who_trains import WhoTrains
from companion.words.saying import said, say
from storage.problem import StorageProblem
from storage.store import Store

TAKES_PAGES = (Screen.setup, Screen.plans, Screen.pages)
"""The screens on which files dropped on the window count as pages received."""
TAKES_LINKS = (Screen.setup, Screen.week, Screen.kit, Screen.plans, Screen.cues, Screen.settings)
"""A link waits on every other screen: the cautions, a session, and what is being written come first."""
LOOK_EVERY_MS = 1_000
"""How often a window that may only read looks whether it still may not write. † Our judgement, no source."""


class Place(NamedTuple):
    """Where the page is: its time zone and the languages that the device asks for."""

    zone: str
    languages: tuple[str, ...] = ()


class Window:
    """What a window shows and does.

    Whoever draws it sets ``draw`` and ``files``; a page of ours also sets ``folder``, where copies go, and
    ``take_link``, which gives the link that the page was opened with. ``remark`` is shown all the time.
    """

    def __init__(
        self,
        records: Records,
        *,
        clock: Clock,
        cues: CuePlayer,
        zone: str,
        remark: str = "",
    ) -> None:
        self._records, self._clock = records, clock
        self._place = Place(zone)
        self.cues, self._remark = cues, remark
        self.state = State()
        self.who = WhoTrains(records, self)
        self.draw: Callable[[], None] = lambda: None
        self.files: Files = FilesInHand()
        self.folder: CopiesFolder = NoFolder()
        self.take_link: Callable[[], str] = str
        self.lost = self.closed = self.less_motion = False
        self.files_dropped = 0
        self._left: ClockReading | None = None
        self._looked_ms, self._cannot_write = 0, False

    async def open(self, *, take_over: bool = False) -> None:
        """Reads the records, as their owner if there is no other; ``take_over`` stops another window."""
        store, reason = await self._records.open(take_over=take_over, on_lost=self.lose)
        self.lost, self._cannot_write = False, False
        try:
            await self._read(store, reason)
        except StorageProblem as problem:
            if reason:
                raise
            self._cannot_write = True
            await self._read(await self._records.only_read(), f"{said(problem.what)} {say(ONLY_SHOWS)}")

    async def _read(self, store: Store, reason: str) -> None:
        """Reads the records; ``reason`` says why this window may only do that, empty for their owner."""
        device = Device(less_motion=self.less_motion, remark=self._remark, is_shared=self.who.are_several)
        device.languages = self._place.languages
        device.records = self.cues.capabilities.records if self.cues.capabilities else "elsewhere"
        self.state = State(reason, lambda: self.draw(), device)
        context = Context(
            self.state,
            store=store,
            clock=self._clock,
            cues=self.cues,
            files=self.files,
            zone=self._place.zone,
            samples=sample_plans,
            household=self.who,
            name=self.who.new_name,
            folder=self.folder,
        )
        self.do = Actions(context)
        await self.do.opening.open()

    def move_less(self, asked: bool) -> None:
        """Notes whether the device asks for less motion."""
        self.less_motion = self.state.device.less_motion = asked
        self.draw()

    def move_to(self, zone: str | None, languages: tuple[str, ...]) -> None:
        """Takes in the page's time zone, where it is known, and its languages; what is said of today may then
        count otherwise."""
        self._place = Place(zone or self._place.zone, languages)
        self.state.device.languages = languages

    async def take_over(self) -> None:
        """Goes on in this window; a session in progress comes along, paused."""
        await self.open(take_over=True)

    def lose(self) -> None:
        """Lets go of the session in progress, because another window took the records over."""
        self.state.run.live = None
        self.lost = True

    async def watch(self) -> None:
        """Is called often: lets the session follow the clock, and takes in what happened outside of it."""
        if self._left is not None or self.who.asked:
            return
        if self.lost:
            await self.cues.cancel()
            await self.cues.awake(False)
            await self.open()
        elif self.state.read_only:
            await self._look()
        await self.do.opening.move_to(self._place.zone)
        await self.do.session.watch()
        self.do.setup.watch()
        if self.state.screen in TAKES_LINKS and (link := self.take_link()):
            self.do.plans.open_link(link)
        if self.files_dropped:
            dropped, self.files_dropped = self.files_dropped, 0
            if self.state.screen in TAKES_PAGES:
                await self.do.pages.take_dropped(dropped)

    async def _look(self) -> None:
        """Takes the records where nobody else has them any more, else sees whether a session runs there."""
        now_ms = self._clock.monotonic_ms()
        if now_ms - self._looked_ms < LOOK_EVERY_MS:
            return
        self._looked_ms = now_ms
        if not self._cannot_write and await self._records.gain(self.lose):
            await self.open()
        else:
            await self.do.opening.look_elsewhere()

    async def let_go(self) -> None:
        """Frees the records because the page is gone, though it may come back."""
        if self._left is None:
            self._left = read(self._clock)
            self._records.close()
            await self.cues.cancel()
            await self.cues.awake(False)

    async def come_back(self) -> None:
        """Goes on where it was left. If another window has had the records since, reads them again."""
        left, self._left = self._left, None
        if left is None or self.who.asked:
            return
        if self._records.take_again():
            await self.do.opening.come_back(left)
        else:
            await self.open()

    def close(self) -> None:
        """Frees the records for the next window, because the page is gone for good."""
        self.closed = True
        self._records.close()
