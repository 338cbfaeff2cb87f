"""What the cues say: which movement comes, on which side, what to lift, and in which version.

Words end with a full stop or a comma where one recorded piece ends and the next begins.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.base.units import LoadUnit, format_load
from engine.live.lead_in import LIGHT_FIRST
from engine.live.loads import load_of, version_of
from engine.live.state import RunState
from engine.movements.movement import Side
from engine.session.segment import Kind, Segment, ahead

NO_WEIGHT = "No weight."
UNITS = {LoadUnit.kg: ("kilogram", "kilograms"), LoadUnit.lb: ("pound", "pounds")}
"""One, and any other number."""


@dataclass(frozen=True)
class Spoken:
    """The words for the segments of a running session, by their index, with loads in the person's unit."""

    state: RunState
    unit: LoadUnit = LoadUnit.kg

    def start(self, index: int) -> str:
        """What is said when a segment starts: in a rest, everything about what comes."""
        segment = self.state.segments[index]
        match segment.kind:
            case Kind.transition:
                return self._and_next("Block done.", index)
            case Kind.rest:
                return self._and_next("Rest.", index)
            case Kind.side_change:
                return f"Change to the {segment.side}."
            case _:
                unloaded = segment.id in self.state.attempt.unloaded
                weight = self._weight(segment) if unloaded else ()
                return " ".join([self._named(index, segment.side), *weight])

    def back(self, index: int) -> str:
        """What is said on coming back from a pause."""
        light = [LIGHT_FIRST] if self.state.anchor.light_first else []
        named = self._named(index, self.state.segments[index].side)
        return " ".join(["Get ready.", *light, named, *self._weight(ahead(self.state.segments, index))])

    def get_down(self, index: int) -> str:
        """The call to get down before a movement on the floor."""
        return f"Get down. Next: {self._named(index, None)}"

    def _and_next(self, now: str, index: int) -> str:
        """“Rest. Next: Row, left. 6 kilograms. One hand on a bench.”"""
        coming = ahead(self.state.segments, index)
        if coming is None:
            return now
        version = [f"{version}."] if (version := version_of(self.state, coming)) else []
        return " ".join([now, f"Next: {self._named(index, coming.side)}", *self._weight(coming), *version])

    def _named(self, index: int, side: Side | None) -> str:
        chosen = self.state.leads_to(index)
        name = chosen.name if chosen else ""
        return f"{name}, {side}." if side in (Side.left, Side.right) else f"{name}."

    def _weight(self, segment: Segment | None) -> Iterator[str]:
        """“6 kilograms each.”; nothing where no load was told or entered."""
        chosen = self.state.session.chosen(segment) if segment is not None else None
        load_g = load_of(self.state, segment) if segment is not None else None
        if chosen is None or load_g is None:
            return
        if load_g == 0:
            yield NO_WEIGHT
            return
        figure, (one, more) = format_load(load_g, self.unit).split()[0], UNITS[self.unit]
        each = " each" if chosen.dumbbells == 2 else ""
        yield f"{figure} {one if figure == '1' else more}{each}."
