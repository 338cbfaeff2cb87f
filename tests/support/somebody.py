"""Somebody using the application through its actions, with a clock in their hand and fakes for the device."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from builders import BOTH, HAND, STARTED_AT, movement, plan, profile, record, work
from copies_in_hand import FolderInHand
from recording_cues import RecordingCuePlayer

from companion.actions.actions import Actions
from companion.actions.context import Context
from companion.services.files import FilesInHand
from companion.state.app import State
from companion.state.screen import Screen
from engine.live.state import Status
from engine.movements.movement import Joint, Kit, MovementPattern, Side
from engine.movements.pain import PainKind
from engine.plan.plan import RoundsRange, SessionPlan
from engine.record.record import Record
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
        self.files, self.folder = FilesInHand(), FolderInHand()
        self.context = Context(
            self.state,
            store=self.store,
            clock=self.clock,
            cues=self.cues,
            files=self.files,
            zone=zone,
            samples=lambda: (PLAN,),
            folder=self.folder,
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

    async def copied(self) -> None:
        """Waits until the copies that were begun are written, or are not."""
        if self.context.copying.task is not None:
            await self.context.copying.task

    async def undo(self) -> None:
        assert self.state.undo is not None
        await self.context.undo()
        assert self.state.undo is None

    @property
    def run(self):
        assert self.state.run.live is not None
        return self.state.run.live.state

    def movements_to_come(self) -> set[str | None]:
        return {segment.movement for segment in self.run.coming if segment.kind not in BETWEEN}


async def started(of: SessionPlan = PLAN, *, minutes: int = 14) -> Person:
    """Somebody at the start of a session."""
    person = await Person().open(of, minutes=minutes)
    await person.do.session.start()
    return person


async def hurts(person: Person, **said: object) -> None:
    """They stop, and say of what hurts: the left knee unless told otherwise."""
    await person.do.session.something_hurts()
    await person.do.hurt.describe(**{"kind": PainKind.joint, "joint": Joint.knee, "side": Side.left, **said})


async def stops(person: Person) -> None:
    """Pause, hurt and end, one after the other, take effect at once."""
    if person.run.status is Status.running:
        await person.do.session.pause()
    if person.run.status is Status.paused:
        assert person.cues.pending == ()
        await person.do.session.something_hurts()
        assert person.state.screen is Screen.hurt
        await person.do.hurt.not_hurt()
        await person.do.session.end_early()
    assert person.run.status is Status.ended
    assert person.cues.pending == ()
    assert person.state.screen in (Screen.log, Screen.hurt)


WEEK = "2026-W10"
"""The week of ``STARTED_AT``."""


async def looking_back(store: BrowserStore) -> Person:
    """Somebody who looks at a week's records on the evening of its last day."""
    person = Person(store, began=STARTED_AT + timedelta(days=6))
    await person.come_back(plan())
    await person.do.setup.choose_kit(Kit.single)
    await person.do.week.show(WEEK)
    return person


async def store_with(*records: Record) -> BrowserStore:
    """The store of somebody who has read the cautions and did these sessions."""
    store = BrowserStore(MemoryShelves())
    await store.person.save_profile(profile())
    for one in records:
        await store.sessions.save(one)
    return store


def lifted(days: int = 0, **answers: object) -> Record:
    """A session with 8 kg at effort 6, some days after the first of the week."""
    at = STARTED_AT + timedelta(days=days)
    said = {"loads_g": {HAND.slug: 8_000}, "effort": 6} | answers
    return record(started_at=at, record_id=f"day-{days}", **said)
