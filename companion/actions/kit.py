"""What is at home, what this device does, and whose it is: each change is kept at once."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from companion.actions.setup import Fitting
from companion.state.app import Screen, Undo
from engine.base.units import LoadUnit, format_load, grams
from engine.live.cues import CueKind, cue
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack
from engine.record.record import ProfileFlag

SPOKEN = {
    CueKind.work: "Work.",
    CueKind.change_side: "Change to the right.",
    CueKind.rest: "Rest.",
    CueKind.get_down: "Get down.",
    CueKind.countdown: "Three, two, one.",
    CueKind.block_done: "Block done.",
    CueKind.session_done: "Session done.",
    CueKind.stop: "Stop.",
}
"""What is said where a cue is only tried; in a session the movement's name comes with it."""
NO_WEIGHT = "A weight is more than 0 and at most 500 kg."


class Keeping(Fitting):
    # The weights at home

    async def show_kit(self) -> None:
        self.state.last_loads = await self.store.sessions.last_loads()
        self._show(Screen.kit)

    def weight_g(self, written: str) -> int:
        """Grams of a weight in the person's unit. Raises ValueError with one sentence."""
        load_g = grams(written, self._profile().unit)
        if load_g == 0:
            raise ValueError(NO_WEIGHT)
        return load_g

    async def count_weight(self, load_g: int, count: int) -> None:
        """How many dumbbells there are of one weight; with 0 it is gone, and can be brought back."""
        fixed = {one.load_g: one.count for one in self.state.rack.fixed} | {load_g: count}
        weights = tuple(FixedWeight(load_g=g, count=n) for g, n in sorted(fixed.items()) if n > 0)
        await self._keep_rack(self.state.rack.model_copy(update={"fixed": weights}), gone=count < 1)

    async def add_weight(self, written: str) -> None:
        """One dumbbell more of a weight. Raises ValueError with one sentence."""
        load_g = self.weight_g(written)
        now = sum(one.count for one in self.state.rack.fixed if one.load_g == load_g)
        await self.count_weight(load_g, now + 1)

    async def add_bell(self, written: str) -> None:
        """An adjustable bell, by the weight of its bar. Raises ValueError with one sentence."""
        bell = AdjustableBell(bar_g=self.weight_g(written))
        await self._keep_bells((*self.state.rack.adjustable, bell))

    async def count_bars(self, at: int, bars: int) -> None:
        await self._change_bell(at, bars=bars)

    async def remove_bell(self, at: int) -> None:
        bells = self.state.rack.adjustable
        await self._keep_bells((*bells[:at], *bells[at + 1 :]), gone=True)

    async def add_plates(self, at: int, written: str) -> None:
        """Four plates of a weight for a bell: a pair of ends each. Raises ValueError with one sentence."""
        load_g = self.weight_g(written)
        held = {one.load_g: one.count for one in self.state.rack.adjustable[at].plates}
        await self.count_plates(at, load_g, held.get(load_g, 0) + 4)

    async def count_plates(self, at: int, load_g: int, count: int) -> None:
        """How many plates of one weight there are; with 0 they are gone, and can be brought back."""
        held = {one.load_g: one.count for one in self.state.rack.adjustable[at].plates} | {load_g: count}
        plates = tuple(Plates(load_g=g, count=n) for g, n in sorted(held.items()) if n > 0)
        await self._change_bell(at, gone=count < 1, plates=plates)

    async def _change_bell(self, at: int, *, gone: bool = False, **changes: object) -> None:
        bells = self.state.rack.adjustable
        changed = AdjustableBell.model_validate(bells[at].model_dump() | changes)
        await self._keep_bells((*bells[:at], changed, *bells[at + 1 :]), gone=gone)

    async def _keep_bells(self, bells: tuple[AdjustableBell, ...], *, gone: bool = False) -> None:
        await self._keep_rack(self.state.rack.model_copy(update={"adjustable": bells}), gone=gone)

    async def _keep_rack(self, rack: Rack, *, gone: bool = False) -> None:
        before, self.state.rack = self.state.rack, rack
        self.state.undo = self._undo("Taken off your list.", self._keep_rack, before) if gone else None
        await self._keep_kit()
        self.state.on_change()

    def _undo(self, said: str, back: Callable[..., Awaitable[None]], *before: object) -> Undo:
        return Undo(said, lambda: back(*before))

    async def undo(self) -> None:
        """Takes back what was just done."""
        done, self.state.undo = self.state.undo, None
        if done is not None:
            await done.back()
        self.state.on_change()

    # Cues and looks of this device

    async def show_cues(self) -> None:
        self._show(Screen.cues)

    async def try_cue(self, kind: CueKind) -> None:
        await self.cues.play(cue(kind, 0, SPOKEN[kind]))

    # The person

    async def rename(self, name: str) -> None:
        """A name of 1 to 120 characters; the field it is written in holds it meanwhile."""
        if 0 < len(name.strip()) <= 120:
            await self._change_profile(name=name.strip())

    async def set_unit(self, unit: str) -> None:
        await self._change_profile(unit=LoadUnit(unit))
        self.state.on_change()

    async def toggle_flag(self, flag: ProfileFlag) -> None:
        """What holds for the person changes defaults of the very next fit."""
        held = set(self._profile().flags) ^ {flag}
        await self._change_profile(flags=tuple(one for one in ProfileFlag if one in held))
        self._refitted()

    async def _change_profile(self, **changes: object) -> None:
        self.state.profile = self._profile().model_copy(update=changes)
        async with self._writing:  # of two changes in a row the later one is kept
            await self.store.person.save_profile(self.state.profile)

    def load_words(self, load_g: int) -> str:
        """A load in the person's unit."""
        return format_load(load_g, self._profile().unit)
