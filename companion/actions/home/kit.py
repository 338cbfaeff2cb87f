"""What is at home: dumbbells, room and loads. Each change is saved at once."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.fitting import proposed, proposed_free, save_kit, toggle_absent
from companion.state.app import Undo
from companion.state.screen import Screen
from companion.words.saying import msgid, say
from engine.base.units import grams
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack
from engine.movements.movement import Equipment

NO_WEIGHT = msgid("Write a weight such as 12 or 12.5, more than 0 and at most 500 kg.")


class Kit:
    def __init__(self, context: Context) -> None:
        self._context = context
        self.undo = context.undo

    async def show(self) -> None:
        self._context.state.home.last_loads = await self._context.store.sessions.last_loads()
        self._context.show(Screen.kit)

    def load_words(self, load_g: int) -> str:
        """A load in the person's unit."""
        return self._context.state.words.load(load_g)

    def loads_to_come(self) -> tuple[LoadProposal, ...]:
        """The loads of the session that fits now; none if no session fits."""
        session = self._context.state.fit.session
        return proposed(self._context, session) if session else ()

    def free_to_come(self) -> tuple[FreeProposal, ...]:
        """How the movements without a weight grow in the session that fits now."""
        session = self._context.state.fit.session
        return proposed_free(self._context, session) if session else ()

    async def toggle_absent(self, equipment: Equipment) -> None:
        await toggle_absent(self._context, equipment)

    def weight_g(self, written: str) -> int:
        """The grams of a weight written in the person's unit. Raises ValueError with one sentence."""
        try:
            load_g = grams(written, self._context.profile().unit)
        except ValueError:
            raise ValueError(say(NO_WEIGHT)) from None
        if load_g == 0:
            raise ValueError(say(NO_WEIGHT))
        return load_g

    async def count_weight(self, load_g: int, count: int) -> None:
        """Says how many dumbbells there are of one weight; 0 takes it off the list, and can be undone."""
        fixed = {one.load_g: one.count for one in self._rack.fixed} | {load_g: count}
        weights = tuple(FixedWeight(load_g=g, count=n) for g, n in sorted(fixed.items()) if n > 0)
        await self._save_rack(self._rack.model_copy(update={"fixed": weights}), gone=count < 1)

    async def add_weight(self, written: str) -> None:
        """Adds one dumbbell of a weight. Raises ValueError with one sentence."""
        load_g = self.weight_g(written)
        now = sum(one.count for one in self._rack.fixed if one.load_g == load_g)
        await self.count_weight(load_g, now + 1)

    async def add_bell(self, written: str) -> None:
        """Adds an adjustable dumbbell by the weight of its bar. Raises ValueError with one sentence."""
        bell = AdjustableBell(bar_g=self.weight_g(written))
        await self._save_bells((*self._rack.adjustable, bell))

    async def count_bars(self, number: int, bars: int) -> None:
        await self._change_bell(number, bars=bars)

    async def remove_bell(self, number: int) -> None:
        bells = self._rack.adjustable
        await self._save_bells((*bells[:number], *bells[number + 1 :]), gone=True)

    async def add_plates(self, number: int, written: str) -> None:
        """Adds four plates of a weight. Raises ValueError with one sentence."""
        load_g = self.weight_g(written)
        await self.count_plates(number, load_g, self._plates(number).get(load_g, 0) + 4)

    async def count_plates(self, number: int, load_g: int, count: int) -> None:
        """Says how many plates there are of one weight; 0 takes them off the list, and can be undone."""
        counts = self._plates(number) | {load_g: count}
        plates = tuple(Plates(load_g=g, count=n) for g, n in sorted(counts.items()) if n > 0)
        await self._change_bell(number, gone=count < 1, plates=plates)

    def _plates(self, number: int) -> dict[int, int]:
        """How many plates of each weight an adjustable dumbbell has."""
        return {one.load_g: one.count for one in self._rack.adjustable[number].plates}

    @property
    def _rack(self) -> Rack:
        return self._context.state.home.rack

    async def _change_bell(self, number: int, *, gone: bool = False, **changes: object) -> None:
        bells = self._rack.adjustable
        changed = AdjustableBell.model_validate(bells[number].model_dump() | changes)
        await self._save_bells((*bells[:number], changed, *bells[number + 1 :]), gone=gone)

    async def _save_bells(self, bells: tuple[AdjustableBell, ...], *, gone: bool = False) -> None:
        await self._save_rack(self._rack.model_copy(update={"adjustable": bells}), gone=gone)

    async def _save_rack(self, rack: Rack, *, gone: bool = False) -> None:
        state = self._context.state
        before, state.home.rack = state.home.rack, rack
        state.undo = Undo(say("Removed from your list."), lambda: self._save_rack(before)) if gone else None
        await save_kit(self._context)
        state.on_change()
