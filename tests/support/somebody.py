"""Somebody using the application through its actions, with a clock in their hand and fakes for the device."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from builders import BOTH, HAND, movement, plan, work
from recording_cues import RecordingCuePlayer

from companion.actions.actions import Actions
from companion.actions.context import Context
from companion.services.files import FilesInHand
from companion.state.app import State
from engine.movements.movement import Kit, MovementPattern
from engine.plan.plan import RoundsRange, SessionPlan
from engine.session.segment import BETWEEN
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore

BEGAN = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
HARD = movement("hard-hinge", pattern=MovementPattern.hinge, easier="easy-hinge")
EASY = movement("easy-hinge", pattern=MovementPattern.hinge)
PLAN = plan(
    work("hard-hinge", HAND.slug, rounds=RoundsRange(min=2, max=4)), movements=(HARD, EASY, BOTH, HAND)
)
"""Get ready 10; a round with two weights: 60, rest 30, 60, rest 30."""


class HandClock:
    """A clock that moves only when told to, and the wall clock with it."""

    def __init__(self, began: datetime = BEGAN) -> None:
        self.began = began
        self.ms = 0
        self.slept_ms = 0

    def monotonic_ms(self) -> int:
        return self.ms

    def now(self) -> datetime:
        return self.began + timedelta(milliseconds=self.ms + self.slept_ms)


class Person:
    """Somebody using the application, with a clock in their hand."""

    def __init__(
        self, store: BrowserStore | None = None, *, began: datetime = BEGAN, zone: str = "UTC"
    ) -> None:
        self.clock, self.cues = HandClock(began), RecordingCuePlayer()
        self.state = State()
        self.store = store or BrowserStore(MemoryShelves())
        self.files = FilesInHand()
        self.context = Context(
            self.state,
            store=self.store,
            clock=self.clock,
            cues=self.cues,
            files=self.files,
            zone=zone,
            samples=lambda: (PLAN,),
        )
        self.do = Actions(self.context)

    async def come_back(self, to: SessionPlan = PLAN) -> None:
        """Opens the application with one sample plan."""
        self.context.samples = lambda: (to,)
        await self.do.opening.open()

    async def open(self, of: SessionPlan = PLAN, *, minutes: int = 14) -> Person:
        await self.come_back(of)
        await self.do.opening.accept_cautions(())
        await self.do.setup.choose_kit(Kit.pair)
        self.do.setup.set_minutes(minutes)
        return self

    async def later(self, seconds: float) -> None:
        """Lets time pass in small steps, as the application watches it."""
        for _ in range(round(seconds * 2)):
            self.clock.ms += 500
            await self.do.session.watch()

    @property
    def run(self):
        assert self.state.run.live is not None
        return self.state.run.live.state

    def movements_to_come(self) -> set[str | None]:
        return {segment.movement for segment in self.run.coming if segment.kind not in BETWEEN}
