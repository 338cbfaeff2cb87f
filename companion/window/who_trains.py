"""Whose records a window has open, on a device that several people may use."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from companion.actions.household import Fill
from companion.state.app import State
from companion.state.person import Device
from companion.window.records import Records
from engine.record.profile import UNNAMED
from storage.trainees import FIRST, TraineeHere, who_goes_on

if TYPE_CHECKING:
    from companion.window.window import Window


class WhoTrains:
    """``asked`` are the people to choose from while it is not clear who trains: no records are open then.

    ``new_name`` is that of somebody who has no profile yet.
    """

    def __init__(self, records: Records, window: Window) -> None:
        self._records, self._window = records, window
        self.asked: tuple[TraineeHere, ...] = ()
        self.are_several, self.new_name = False, ""

    async def begin(self) -> None:
        """Opens the records of whoever trains; asks who it is where that is not clear."""
        trainees = await self._records.trainees()
        await self._open(trainees, who_goes_on(trainees))

    async def ask_who(self, said: str = "") -> None:
        """Lets go of these records, and asks who trains now; ``said`` tells them what was done before."""
        await self._window.cues.cancel()
        await self._window.cues.awake(False)
        trainees = await self._records.trainees()
        is_asked = len(trainees) > (0 if said else 1)
        await self._open(trainees, None if is_asked else who_goes_on(trainees), said)

    async def _open(self, trainees: tuple[TraineeHere, ...], key: str | None, said: str = "") -> None:
        self.are_several = len(trainees) > 1
        if key is not None:
            await self.train_as(key)
            return
        self._records.choose(FIRST)
        self.asked = trainees
        self._window.state = State(device=Device(less_motion=self._window.less_motion), said=said)
        self._window.draw()

    async def train_as(self, key: str) -> None:
        """Opens the records of one of those who train here."""
        self._records.choose(key)
        await self._window.open()
        self.asked = ()
        self._window.draw()

    async def name_of(self, ids: Collection[str]) -> str:
        """The name of whoever trains here under one of these ids, empty for nobody."""
        everyone = await self._records.trainees()
        return next((one.name for one in everyone if not one.ids.isdisjoint(ids)), "")

    async def ids_of_others(self) -> frozenset[str]:
        """Every id of those who train here besides this person."""
        own = self._window.state.home.profile
        mine = own.ids if own else frozenset[str]()
        everyone = await self._records.trainees()
        return frozenset().union(*(one.ids for one in everyone if one.ids.isdisjoint(mine)))

    async def names(self) -> tuple[str, ...]:
        """The names of everyone who trains here."""
        own = self._window.state.home.profile
        everyone = await self._records.trainees()
        return tuple(one.name for one in everyone) or (own.name if own else UNNAMED,)

    async def add(self, name: str, fill: Fill) -> None:
        """Opens records for somebody else who trains here; ``fill`` first puts in what there is of theirs."""
        self._records.choose(await self._records.add())
        store, _ = await self._records.open(take_over=False, on_lost=self._window.lose)
        await fill(store)
        self.new_name, self.are_several = name, True
        await self._window.open()
        self._window.draw()
