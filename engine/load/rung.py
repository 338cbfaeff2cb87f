"""Rungs: how far a load has come, on the ladder of steps from one weight to the next."""

from __future__ import annotations

from itertools import takewhile

from engine.base.model import Model
from engine.base.units import MS_PER_S
from engine.movements.tempo import parse_tempo, paused
from engine.record.exposure import Exposure, LoadKey

LONGEST_REPETITION_MS = 8_000
"""Repetitions of 0.5–8 s work alike, those over 10 s do less: Schoenfeld, Ogborn & Krieger 2015, Sports Med
45:577–585."""


class Rung(Model):
    """The first ``heavier_rounds`` at ``heavier_g``, the others at ``load_g``, with or without a pause at the
    bottom."""

    load_g: int
    heavier_g: int | None = None
    heavier_rounds: int = 0
    pause: bool = False


def pause_key(key: LoadKey) -> LoadKey | None:
    """The key with a tempo of 1 s more at the bottom; None where the tempo has no length or would be too
    slow."""
    repetition_ms = parse_tempo(key.tempo).repetition_ms if key.tempo is not None else None
    if key.tempo is None or repetition_ms is None or repetition_ms + MS_PER_S > LONGEST_REPETITION_MS:
        return None
    return key.model_copy(update={"tempo": paused(key.tempo)})


def rung_of(exposure: Exposure, key: LoadKey) -> Rung | None:
    """The rung of a session, seen from a ``key`` without the pause; None where a load was not said."""
    if exposure.loads_g is None:
        return None
    load_g = exposure.loads_g[-1]
    heavier = tuple(takewhile(lambda in_round: in_round > load_g, exposure.loads_g))
    return Rung(
        load_g=load_g,
        heavier_g=min(heavier, default=None),
        heavier_rounds=len(heavier),
        pause=exposure.key != key,
    )
