"""Rungs: how far a load has come, on the ladder of steps from one weight to the next.

For one weight: in all rounds, then with a pause of 1 s where the lift is hardest, then with the next weight
in round 1 only, then in two rounds. The next rung is the next weight in all rounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from engine.base.model import Model
from engine.base.units import MS_PER_S
from engine.load.rack import next_above, next_below
from engine.load.rules import JUMP_PERCENT, MOST_JUMP_PERCENT, percent_up
from engine.movements.tempo import Hardest, parse_tempo, paused
from engine.record.exposure import Exposure, LoadKey

LONGEST_REPETITION_MS = 8_000
"""Repetitions of 0.5–8 s work alike, those over 10 s do less: Schoenfeld, Ogborn & Krieger 2015, Sports Med
45:577–585."""
FIRST_HEAVIER_ROUNDS = 2
"""A heavier weight comes in round 1, then in 2 rounds, then in all. † Our judgement, no source."""
NEAR_PERCENT = 10
"""A change of the interval up to this keeps the load. † Our judgement, no source."""


class Rung(Model):
    """The first ``heavier_rounds`` at ``heavier_g``, the others at ``load_g``, with or without a pause."""

    load_g: int
    heavier_g: int | None = None
    heavier_rounds: int = 0
    pause: bool = False


def pause_key(key: LoadKey, hardest: Hardest) -> LoadKey | None:
    """The key with a tempo of 1 s more where the lift is hardest; None where the tempo has no length or would
    be too slow."""
    if key.tempo is None or not may_be_slower(key.tempo):
        return None
    return key.model_copy(update={"tempo": paused(key.tempo, hardest)})


def may_be_slower(tempo: str) -> bool:
    """Whether a repetition may take one second more; never where it has no length."""
    repetition_ms = parse_tempo(tempo).repetition_ms
    return repetition_ms is not None and repetition_ms + MS_PER_S <= LONGEST_REPETITION_MS


def is_near(known: LoadKey, asked: LoadKey) -> bool:
    """Whether two keys are for one version, and intervals that differ by a tenth of the known one at most."""
    apart_ms = abs(asked.interval_ms - known.interval_ms)
    return known.same_variant(asked) and apart_ms * 100 <= known.interval_ms * NEAR_PERCENT


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
        pause=exposure.key.tempo != key.tempo,
    )


def rung_below(rung: Rung, weights_g: Sequence[int], *, rounds: int, pauses: bool) -> Rung:
    """One rung back. ``pauses`` says whether the movement has a rung with a pause.

    Below the lightest weight in all rounds it is in the first rounds only, and then there is none.
    """
    if rung.heavier_rounds > 1:
        return rung.model_copy(update={"heavier_rounds": rung.heavier_rounds - 1})
    if rung.heavier_rounds:
        return Rung(load_g=rung.load_g, pause=pauses and rung.load_g > 0)
    if rung.pause:
        return Rung(load_g=rung.load_g)
    below_g = next_below(weights_g, rung.load_g) or 0
    up = percent_up(below_g, rung.load_g)
    by_rounds = below_g == 0 or JUMP_PERCENT < up <= MOST_JUMP_PERCENT
    heavier_rounds = min(FIRST_HEAVIER_ROUNDS, rounds - 1)
    if not (by_rounds and rung.load_g and heavier_rounds > 0):
        return Rung(load_g=below_g)
    return Rung(load_g=below_g, heavier_g=rung.load_g, heavier_rounds=heavier_rounds)


def place_of(rung: Rung, weights_g: Sequence[int]) -> tuple[int, int]:
    """The place of a rung on the ladder, to be compared: the weight in all rounds, then the step beyond
    it."""
    below = sum(weight_g < rung.load_g for weight_g in weights_g)
    known = rung.heavier_g is not None and rung.heavier_g == next_above(weights_g, rung.load_g)
    pauses = rung.load_g > 0
    return below + int(pauses), (rung.heavier_rounds + int(pauses) if known else int(rung.pause))
