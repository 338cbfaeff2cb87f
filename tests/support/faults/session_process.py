"""The process that is killed: a person goes through a session, and each acknowledged event is told.

Time is the person's own, so that an hour passes in seconds; every step is one that a person can take.
"""

from __future__ import annotations

import asyncio
import random
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from recording_cues import RecordingCuePlayer

from companion.actions import Actions
from companion.samples import sample_plans
from companion.services.files import FilesInHand
from companion.state.app import Screen, State
from engine.live.events import Event
from engine.live.state import Status
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import PainKind
from storage.folder.owner import FolderLock
from storage.folder.store import NativeStore

BEGAN = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)


class OwnClock:
    """A clock that goes on when it is told to."""

    def __init__(self, ms: int = 0) -> None:
        self.ms = ms

    def monotonic_ms(self) -> int:
        return self.ms

    def now(self) -> datetime:
        return BEGAN + timedelta(milliseconds=self.ms)


class Telling(Actions):
    """Tells the number of each event, and where the session stands with it, once it is acknowledged."""

    async def _write(self, kind: type[Event], **fields: Any) -> None:
        await super()._write(kind, **fields)
        run = self._live().state
        print(run.seq, run.index, flush=True)


def person(folder: Path, clock: OwnClock, *, does: type[Actions] = Actions) -> Actions:
    """Somebody in front of the application, over a data folder that is theirs."""
    assert FolderLock(folder).take(), "the lock went with the process"
    own = {"clock": clock, "cues": RecordingCuePlayer(), "files": FilesInHand()}
    return does(State(), store=NativeStore(folder), **own)


async def prepared(do: Actions, plan: int) -> None:
    await do.open(sample_plans)
    await do.accept_cautions(())
    await do.choose_kit(Kit.single)
    await do.choose_plan(sample_plans()[plan].id)
    do.set_minutes(45)
    await do.start()


async def hurts(do: Actions) -> None:
    await do.something_hurts()
    do.describe_pain(kind=PainKind.joint, joint=Joint.wrist, side=Side.left, rating=2)
    await do.answer_pain("without")


async def step(do: Actions, chance: random.Random) -> None:
    """One thing a person does, or a stretch of time in which nothing is done."""
    live = do.state.live
    assert live is not None
    current, clock = live.state.current, do.clock
    assert isinstance(clock, OwnClock)
    for _ in range(chance.randint(1, 40)):
        clock.ms += 250
        await do.watch()
    if live.state.status is Status.paused:
        await do.resume()
    elif current is not None and current.pace == "self":
        await chance.choice([do.tick, do.tick, do.tick, lambda: do.hold(True), do.skip])()
    elif chance.random() < 0.3:
        rare = [do.pause, do.skip, do.back, do.redo, do.more_rest, do.position_lost, do.keep_everything]
        await chance.choice([*rare, lambda: hurts(do)])()


async def until_killed(folder: Path, seed: int) -> None:
    chance = random.Random(seed)
    do = person(folder, OwnClock(), does=Telling)
    await prepared(do, seed % len(sample_plans()))
    while do.state.screen is Screen.running:
        await step(do, chance)


if __name__ == "__main__":
    asyncio.run(until_killed(Path(sys.argv[1]), int(sys.argv[2])))
