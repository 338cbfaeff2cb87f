"""Whose records a window has open, on a device that several people may use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from companion.actions.context import UNNAMED, Fill
from companion.state.app import State
from companion.state.person import Device
from companion.window.records import Records
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

    async def ask_who(self) -> None:
        """Lets go of these records, and asks who trains now."""
        await self._window.cues.cancel()
        await self._window.cues.awake(False)
        trainees = await self._records.trainees()
        await self._open(trainees, None if len(trainees) > 1 else who_goes_on(trainees))

    async def _open(self, trainees: tuple[TraineeHere, ...], key: str | None) -> None:
        self.are_several = len(trainees) > 1
        if key is not None:
            await self.train_as(key)
            return
        self._records.choose(FIRST)
        self.asked = trainees
        self._window.state = State(device=Device(less_motion=self._window.less_motion))
        self._window.draw()

    async def train_as(self, key: str) -> None:
        """Opens the records of one of those who train here."""
        self._records.choose(key)
        await self._window.open()
        self.asked = ()
        self._window.draw()

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
