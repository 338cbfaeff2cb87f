"""The process that is killed: a person goes through a session, and each acknowledged event is printed.

Time is virtual, so an hour passes in seconds. Every step is one that a person can take.
"""

from __future__ import annotations

import asyncio
import random
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

from recording_cues import RecordingCuePlayer

from companion.actions.actions import Actions
from companion.actions.context import Context
from companion.samples import sample_plans
from companion.services.files import FilesInHand
from companion.state.app import State
from companion.state.screen import Screen
from engine.live.events import Event, RunningRecord
from engine.live.run import advance, begin
from engine.live.state import Status
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import PainKind
from storage.folder.owner import FolderLock
from storage.folder.store import FolderStore

BEGAN = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)


class OwnClock:
    """A clock that moves only when told to."""

    def __init__(self, ms: int = 0) -> None:
        self.ms = ms

    def monotonic_ms(self) -> int:
        return self.ms

    def now(self) -> datetime:
        return BEGAN + timedelta(milliseconds=self.ms)


class Telling:
    """The run store, which also prints the number of each acknowledged event and the segment it led to."""

    def __init__(self, context: Context) -> None:
        self._run = context.store.run
        self.read, self.close = self._run.read, self._run.close

    async def open(self, record: RunningRecord) -> None:
        await self._run.open(record)
        self._told = begin(record.session)

    async def append(self, event: Event) -> None:
        await self._run.append(event)
        self._told = advance(self._told, event)
        print(self._told.seq, self._told.index, flush=True)


def person(folder: Path, clock: OwnClock) -> Context:
    """What the actions of a person use, over a data folder of their own."""
    assert FolderLock(folder).take(), "the lock ended with the process"
    return Context(
        State(),
        store=FolderStore(folder),
        clock=clock,
        cues=RecordingCuePlayer(),
        files=FilesInHand(),
        zone="UTC",
        samples=sample_plans,
    )


async def prepared(do: Actions, plan: int) -> None:
    await do.opening.open()
    await do.opening.accept_cautions(())
    await do.setup.choose_kit(Kit.single)
    await do.setup.choose_plan(sample_plans()[plan].id)
    do.setup.set_minutes(45)
    await do.session.start()


async def hurts(do: Actions) -> None:
    await do.session.something_hurts()
    await do.hurt.describe(kind=PainKind.joint, joint=Joint.wrist, side=Side.left, rating=2)
    await do.hurt.answer("without")


async def step(context: Context, do: Actions, chance: random.Random) -> None:
    """Does one thing a person does, or lets time pass."""
    live, session = context.state.run.live, do.session
    assert live is not None
    current, clock = live.state.current, context.clock
    assert isinstance(clock, OwnClock)
    for _ in range(chance.randint(1, 40)):
        clock.ms += 250
        await session.watch()
    if live.state.status is Status.paused:
        await session.resume()
    elif current is not None and current.pace == "self":
        ticks = [session.tick] * 3
        await chance.choice([*ticks, lambda: session.hold(True), session.skip])()
    elif chance.random() < 0.3:
        rare = [
            *(session.pause, session.skip, session.back, session.redo),
            *(session.more_rest, session.form_slipped, session.keep_everything),
        ]
        await chance.choice([*rare, lambda: hurts(do)])()


async def until_killed(folder: Path, seed: int) -> None:
    chance, context = random.Random(seed), person(folder, OwnClock())
    context.store.run = Telling(context)
    do = Actions(context)
    await prepared(do, seed % len(sample_plans()))
    while context.state.screen is Screen.running:
        await step(context, do, chance)


if __name__ == "__main__":
    asyncio.run(until_killed(Path(sys.argv[1]), int(sys.argv[2])))
