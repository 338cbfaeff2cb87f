"""The strip: a session's time to scale. Screen, paper and terminal all draw it from this description."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

from companion.style.kinds import KIND_WORD
from companion.words.saying import say
from engine.base.units import MS_PER_MIN
from engine.session.segment import Kind, Segment, starts_ms

LONG_TICK_MIN = 5
"""Each tick on a multiple of this many minutes is drawn longer."""


class Stretch(NamedTuple):
    """The time of one segment, ``[start_ms, end_ms)``. The label is empty for a way between blocks; ``round``
    is None outside the rounds of work."""

    start_ms: int
    end_ms: int
    kind: Kind
    label: str
    round: int | None = None


class Part(NamedTuple):
    """Neighbouring stretches with the same label, such as a round, as one."""

    start_ms: int
    end_ms: int
    label: str
    round: int | None = None

    @property
    def length_ms(self) -> int:
        return self.end_ms - self.start_ms


class Tick(NamedTuple):
    """The mark of one full minute."""

    minute: int
    is_long: bool

    @property
    def at_ms(self) -> int:
        return self.minute * MS_PER_MIN


@dataclass(frozen=True)
class Strip:
    """Stretches in order from 0, without gaps."""

    stretches: tuple[Stretch, ...] = ()

    @property
    def length_ms(self) -> int:
        return self.stretches[-1].end_ms if self.stretches else 0

    @property
    def parts(self) -> tuple[Part, ...]:
        runs = (tuple(run) for _, run in groupby(self.stretches, key=lambda stretch: stretch.label))
        return tuple(Part(run[0].start_ms, run[-1].end_ms, run[0].label, run[0].round) for run in runs)

    @property
    def changes_last(self) -> tuple[Stretch, ...]:
        """The stretches in the order to draw them in: changes of sides overlap their neighbours."""
        return tuple(sorted(self.stretches, key=lambda stretch: stretch.kind is Kind.side_change))

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """The kinds that occur, in order of their first stretch."""
        return tuple(dict.fromkeys(stretch.kind for stretch in self.stretches))

    def kind_at(self, at_ms: int) -> Kind | None:
        """The kind of the stretch that holds this moment; None from the end on."""
        if at_ms >= self.length_ms:
            return None
        index = bisect_right(self.stretches, at_ms, key=lambda stretch: stretch.start_ms) - 1
        return self.stretches[index].kind


def strip_of(segments: tuple[Segment, ...]) -> Strip:
    """The strip of a session's segments."""
    starts = starts_ms(segments)
    ends = starts[1:]
    return Strip(
        tuple(
            Stretch(start, end, segment.kind, _label(segment), _round(segment))
            for segment, start, end in zip(segments, starts, ends, strict=False)
        )
    )


def ticks(until_ms: int) -> Iterable[Tick]:
    """A tick for the start and for each full minute, up to and with ``until_ms``."""
    return (Tick(minute, is_long=minute % LONG_TICK_MIN == 0) for minute in range(until_ms // MS_PER_MIN + 1))


def _label(segment: Segment) -> str:
    if segment.kind in (Kind.transition, Kind.get_ready):
        return ""
    if segment.kind in (Kind.warm_up, Kind.practice, Kind.cool_down):
        return say(KIND_WORD[segment.kind])
    number = _round(segment)
    return say("Round {round}", round=number) if number else say(KIND_WORD[Kind.practice])


def _round(segment: Segment) -> int | None:
    return segment.round if segment.kind in (Kind.work, Kind.side_change, Kind.rest) else None
