"""Tempo: the four phases of a repetition, and how many repetitions fit into an interval.

A tempo is written ``lowering-bottom-lifting-top`` in whole seconds, for example ``3-0-1-0``. The lowering
comes first whatever the movement begins with. ``X`` for the lifting means as fast as possible: it has no
duration, so repetitions cannot be predicted.
"""

from __future__ import annotations

import re
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, Literal

from pydantic import AfterValidator

from engine.base.issue import WrongValue, echo
from engine.base.message import message
from engine.base.model import Model
from engine.base.units import MS_PER_S

_WRITTEN = re.compile(r"(\d{1,2})-(\d{1,2})-(\d{1,2}|X)-(\d{1,2})")


class Phase(StrEnum):
    """The phases of a repetition, in the order of a written tempo."""

    lowering = "lowering"
    bottom = "bottom"
    lifting = "lifting"
    top = "top"


Hardest = Literal[Phase.bottom, Phase.top]
"""Where a repetition is hardest, and a pause is added: at the bottom of a squat, press or hinge, at the top
of a row, a pull or a bridge."""


class TempoPhases(Model):
    """The four phases; ``lifting_s`` is None for as fast as possible."""

    lowering_s: int
    bottom_s: int
    lifting_s: int | None
    top_s: int

    @property
    def repetition_ms(self) -> int | None:
        """The length of one repetition; None where the lifting has no duration."""
        if self.lifting_s is None:
            return None
        return (self.lowering_s + self.bottom_s + self.lifting_s + self.top_s) * MS_PER_S

    @property
    def written(self) -> str:
        """The tempo as ``parse_tempo`` reads it."""
        lifting = "X" if self.lifting_s is None else self.lifting_s
        return f"{self.lowering_s}-{self.bottom_s}-{lifting}-{self.top_s}"


@lru_cache(maxsize=1_000)
def parse_tempo(written: str) -> TempoPhases:
    """Reads ``3-0-1-0``. Raises WrongValue for what is not a tempo."""
    match = _WRITTEN.fullmatch(written)
    if match is None:
        raise WrongValue(message("not_a_tempo", written=echo(written)))
    lowering, bottom, lifting, top = match.groups()
    phases = TempoPhases(
        lowering_s=int(lowering),
        bottom_s=int(bottom),
        lifting_s=None if lifting == "X" else int(lifting),
        top_s=int(top),
    )
    if phases.lowering_s == 0 or phases.repetition_ms == 0:
        raise WrongValue(message("tempo_without_lowering", written=echo(written)))
    return phases


def _checked(written: str) -> str:
    parse_tempo(written)
    return written


Tempo = Annotated[str, AfterValidator(_checked)]
"""A field of a document that holds a tempo as written."""


def paused(tempo: str, at: Hardest = Phase.bottom) -> str:
    """The tempo with one second more at the bottom or at the top.

    Raises ValueError where the pause would be longer than 99 seconds.
    """
    phases = parse_tempo(tempo)
    field = f"{at.value}_s"
    return _longer(phases, field)


def slower(tempo: str) -> str:
    """The tempo with a lowering one second longer. Raises ValueError beyond 99 seconds."""
    return _longer(parse_tempo(tempo), "lowering_s")


def _longer(phases: TempoPhases, field: str) -> str:
    longer = phases.model_copy(update={field: getattr(phases, field) + 1}).written
    parse_tempo(longer)
    return longer


def predicted_repetitions(interval_ms: int, tempo: str, *, alternates: bool = False) -> int | None:
    """The number of whole repetitions that fit into an interval; None for an ``X`` tempo.

    Where the sides take turns it is even, because an odd one would be unequal sides.
    """
    repetition_ms = parse_tempo(tempo).repetition_ms
    if repetition_ms is None:
        return None
    number = interval_ms // repetition_ms
    return number - number % 2 if alternates else number


def phase_at(tempo: str, elapsed_ms: int, *, lifts_first: bool) -> tuple[int, Phase] | None:
    """The repetition, counted from 1, and its phase at a moment of the interval; None for an ``X`` tempo."""
    phases = parse_tempo(tempo)
    if phases.lifting_s is None or phases.repetition_ms is None:
        return None
    lengths_s = (phases.lowering_s, phases.bottom_s, phases.lifting_s, phases.top_s)
    in_order = list(zip(Phase, lengths_s, strict=True))
    done, into_ms = divmod(elapsed_ms, phases.repetition_ms)
    for phase, length_s in (in_order[2:] + in_order[:2]) if lifts_first else in_order:
        into_ms -= length_s * MS_PER_S
        if into_ms < 0:
            return done + 1, phase
    raise AssertionError("A moment within a repetition lies in one of its phases.")
