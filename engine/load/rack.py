"""The weights a person has: dumbbells of a fixed weight, and adjustable ones with their plates.

All weights are grams of one dumbbell.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import Field

from engine.base.model import Model
from engine.base.units import HEAVIEST_LOAD_G, Grams

Weight = Annotated[Grams, Field(gt=0)]


class FixedWeight(Model):
    """Dumbbells of one fixed weight; a ``count`` of 2 is a pair."""

    load_g: Weight
    count: Annotated[int, Field(ge=1, le=20)] = 1


class Plates(Model):
    """Plates of one weight for an adjustable bell; ``count`` counts single plates."""

    load_g: Weight
    count: Annotated[int, Field(ge=1, le=40)]


class AdjustableBell(Model):
    """One or two adjustable bells that share their plates. ``bar_g`` is the weight of one bar with its
    collars."""

    bar_g: Weight
    bars: Annotated[int, Field(ge=1, le=2)] = 1
    plates: tuple[Plates, ...] = Field(default=(), max_length=8)

    def loads_g(self, dumbbells: int) -> tuple[int, ...]:
        """What each of 1 or 2 bells can weigh with the same plates on both of its ends, lightest first; empty
        where there are fewer bars."""
        if dumbbells > self.bars:
            return ()
        ends, reached = 2 * dumbbells, {self.bar_g}
        for plates in self.plates:
            numbers = range(plates.count // ends + 1)
            reached = {load_g + 2 * plates.load_g * number for load_g in reached for number in numbers}
            reached = {load_g for load_g in reached if load_g <= HEAVIEST_LOAD_G}
        return tuple(sorted(reached))


class Rack(Model):
    """All weights of one person. A pair is two of a kind: two fixed dumbbells, or two bars of one set."""

    fixed: tuple[FixedWeight, ...] = ()
    adjustable: tuple[AdjustableBell, ...] = ()

    @classmethod
    def of_weights(cls, loads_g: Iterable[int], *, dumbbells: int = 1) -> Rack:
        """A rack with ``dumbbells`` fixed dumbbells of each weight."""
        return cls(fixed=tuple(FixedWeight(load_g=load_g, count=dumbbells) for load_g in loads_g))

    def loads_g(self, dumbbells: int) -> tuple[int, ...]:
        """The weights that can be had for 1 or 2 dumbbells, lightest first, each once; empty for 0."""
        if dumbbells == 0:
            return ()
        counts: dict[int, int] = {}
        for weight in self.fixed:
            counts[weight.load_g] = counts.get(weight.load_g, 0) + weight.count
        found = {load_g for load_g, count in counts.items() if count >= dumbbells}
        return tuple(sorted(found.union(*(bell.loads_g(dumbbells) for bell in self.adjustable))))


def at_most(loads_g: Iterable[int], limit_g: int) -> int:
    """The heaviest of the weights up to a limit; 0, no weight, where even the lightest is above it."""
    return max((load_g for load_g in loads_g if load_g <= limit_g), default=0)


def next_above(loads_g: Iterable[int], load_g: int) -> int | None:
    """The lightest of the weights above a load; None where there is none."""
    return min((one for one in loads_g if one > load_g), default=None)


def next_below(loads_g: Iterable[int], load_g: int) -> int | None:
    """The heaviest of the weights below a load; None where there is none."""
    return max((one for one in loads_g if one < load_g), default=None)
