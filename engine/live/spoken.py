"""What the cues say: which movement comes, on which side, what to lift, and in which version.

Each message is one sentence, which a voice says by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.base.message import Argument, Message, Said, Weight, message
from engine.live.loads import load_of, version_of
from engine.live.state import RunState
from engine.movements.movement import Side
from engine.movements.terms import side_term
from engine.session.segment import Kind, Segment, ahead
from engine.session.terms import chosen_term, version_term

STOP = message("cue_stop")
STOP_WEIGHT_DOWN: Said = (STOP, message("cue_weight_down"))
"""What is said at once where something hurts."""
GET_READY, GET_DOWN = message("cue_get_ready"), message("cue_get_down")
WORK, REST = message("cue_work"), message("cue_rest")
TO_THE_LEFT, TO_THE_RIGHT = message("cue_change_to_left"), message("cue_change_to_right")
COUNT, BLOCK_DONE = message("cue_count"), message("cue_block_done")
SESSION_DONE = message("cue_session_done")
LIGHT_FIRST = message("light_repetitions_first")


@dataclass(frozen=True)
class Spoken:
    """What is said about the segments of a running session, by their index."""

    state: RunState

    def start(self, index: int) -> Said:
        """What is said when a segment starts: in a rest, everything about what comes."""
        segment = self.state.segments[index]
        match segment.kind:
            case Kind.transition:
                return (BLOCK_DONE, *self._next(index))
            case Kind.rest:
                return (REST, *self._next(index))
            case Kind.side_change:
                return (TO_THE_LEFT if segment.side is Side.left else TO_THE_RIGHT,)
            case _:
                unloaded = segment.id in self.state.attempt.unloaded
                return (*self._named(index, segment.side), *(self._weight(segment) if unloaded else ()))

    def back(self, index: int) -> Said:
        """What is said on coming back from a pause."""
        light = (LIGHT_FIRST,) if self.state.anchor.light_first else ()
        named = self._named(index, self.state.segments[index].side)
        return (GET_READY, *light, *named, *self._weight(ahead(self.state.segments, index)))

    def get_down(self, index: int) -> Said:
        """The call to get down before a movement on the floor."""
        return (GET_DOWN, *self._next_named(index, None))

    def _next(self, index: int) -> Iterator[Message]:
        """“Next: Row, left. 6 kilograms. One hand on a bench.”"""
        coming = ahead(self.state.segments, index)
        if coming is None:
            return
        yield from self._next_named(index, coming.side)
        yield from self._weight(coming)
        chosen = self.state.session.chosen(coming)
        if chosen is not None and version_of(self.state, coming):
            yield message("cue_version", version=version_term(chosen))

    def _named(self, index: int, side: Side | None) -> Iterator[Message]:
        for name in self._name(index):
            if side in (Side.left, Side.right):
                yield message("cue_movement_side", movement=name, side=side_term(side))
            else:
                yield message("cue_movement", movement=name)

    def _next_named(self, index: int, side: Side | None) -> Iterator[Message]:
        for name in self._name(index):
            if side in (Side.left, Side.right):
                yield message("cue_next_side", movement=name, side=side_term(side))
            else:
                yield message("cue_next", movement=name)

    def _name(self, index: int) -> Iterator[Argument]:
        chosen = self.state.leads_to(index)
        if chosen is not None:
            yield chosen_term(chosen)

    def _weight(self, segment: Segment | None) -> Iterator[Message]:
        """“6 kilograms each.”; nothing where no load was told or entered."""
        chosen = self.state.session.chosen(segment) if segment is not None else None
        load_g = load_of(self.state, segment) if segment is not None else None
        if chosen is None or load_g is None:
            return
        if load_g == 0:
            yield message("cue_no_weight")
        elif chosen.dumbbells == 2:
            yield message("cue_weight_each", load=Weight(grams=load_g))
        else:
            yield message("cue_weight", load=Weight(grams=load_g))
