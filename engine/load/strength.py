"""Strength estimates: the load that could be lifted once, from a set taken near failure, and nothing else.

An estimate holds for one movement form, number of dumbbells and tempo: a slower tempo lowers what can be
lifted once (PMC7196738), so estimates of different tempos are never compared or mixed.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from math import ceil, exp, floor

from engine.base.model import Model, Slug
from engine.live.state import Outcome
from engine.movements.tempo import Tempo
from engine.record.record import SetDone

MOST_REPETITIONS = 10
"""Linear equations hold up to 10 repetitions: Reynolds, Gordon & Robergs 2006, JSCR 20:584–592."""
MOST_IN_RESERVE = 1
"""A set further from failure says too little. † Our judgement, no source."""
RANGE_OF_RESERVE_FROM = 4
"""Efforts up to 6 are a range of repetitions in reserve, not a number: at least 4."""

PERCENT_OF_ONE_REPETITION = (
    *((1, 100), (2, 95), (3, 93), (4, 90), (5, 87), (6, 85), (7, 83), (8, 80), (9, 77), (10, 75)),
    *((11, 70), (12, 67), (15, 65)),
)
"""Repetitions and the percentage of the one-repetition load: NSCA Essentials, 4th edition (from memory)."""


class Formula(StrEnum):
    """Published estimates of the one-repetition load from a load ``w`` and ``r`` repetitions.

    epley: Epley 1985 (seen in a secondary text). brzycki: Brzycki 1993, JOPERD 64(1):88–90 (seen in a
    secondary text). lander: Lander 1985 (seen in a secondary text). lombardi: Lombardi 1989 (from memory).
    mayhew: Mayhew 1992 (from memory). oconner: O'Conner 1989 (from memory). wathan: Wathan 1994 (from
    memory).
    """

    epley = "epley"
    brzycki = "brzycki"
    lander = "lander"
    lombardi = "lombardi"
    mayhew = "mayhew"
    oconner = "oconner"
    wathan = "wathan"


def one_repetition_load(formula: Formula, load: float, repetitions: int) -> float:
    """The published formula as it stands, in the unit of ``load``; sources stand at ``Formula``.

    Raises ValueError for repetitions outside 1–10, where the formulas part ways (Brzycki's has a pole at 37).
    """
    r = repetitions
    if not 1 <= r <= MOST_REPETITIONS:
        raise ValueError(f"{r} repetitions say nothing about one: 1 to {MOST_REPETITIONS} do.")
    match formula:
        case Formula.epley:
            return load * (1 + r / 30)
        case Formula.brzycki:
            return load * 36 / (37 - r)
        case Formula.lander:
            return 100 * load / (101.3 - 2.67123 * r)
        case Formula.lombardi:
            return load * float(r**0.10)
        case Formula.mayhew:
            return 100 * load / (52.2 + 41.9 * exp(-0.055 * r))
        case Formula.oconner:
            return load * (1 + 0.025 * r)
        case Formula.wathan:
            return 100 * load / (48.8 + 53.8 * exp(-0.075 * r))


def least_in_reserve(effort: float) -> int:
    """Repetitions that were at least left at a set's effort of 0–10; 4 stands for 4 or more.

    Zourdos 2016, JSCR 30:267–275: 10→0, 9→1, 8→2, 7→3, halves in between, 6 and below a range.
    """
    return min(floor(10 - effort), RANGE_OF_RESERVE_FROM)


def most_in_reserve(effort: float) -> int | None:
    """Repetitions that were at most left; None where the effort is a range (6 and below)."""
    return None if least_in_reserve(effort) == RANGE_OF_RESERVE_FROM else ceil(10 - effort)


def percent_of_one_repetition(repetitions: int) -> int | None:
    """The percentage of the one-repetition load for so many repetitions; between rows the next row's.

    None outside 1–15, where the table has no row. Source: NSCA Essentials, 4th edition (from memory).
    """
    rows = (percent for listed, percent in PERCENT_OF_ONE_REPETITION if repetitions <= listed)
    return next(rows, None) if repetitions >= 1 else None


class StrengthEstimate(Model):
    """What could be lifted once in this form at this tempo, between the lowest and the highest formula.

    Grams of one dumbbell. A single repetition is no estimate: both ends are the load itself.
    """

    movement: Slug
    form: Slug
    dumbbells: int
    tempo: Tempo | None
    lowest_g: int
    highest_g: int


def strength_estimate(done: SetDone) -> StrengthEstimate | None:
    """The estimate a set allows; None for any but a whole set near failure of counted repetitions.

    That is: at most 1 in reserve (effort 9 or more), 1 to 10 repetitions counted by the person, load said,
    position held, full range kept and no easier form. Repetitions in reserve are not added to those done.
    """
    if not done.load_g or done.repetitions is None or not 1 <= done.repetitions <= MOST_REPETITIONS:
        return None
    kept = done.position_held and done.range_kept and not done.easier_form
    if done.outcome is Outcome.skipped or not kept:
        return None
    left = None if done.effort is None else most_in_reserve(done.effort)
    if left is None or left > MOST_IN_RESERVE:
        return None
    loads_g = [float(done.load_g)]
    if done.repetitions > 1:
        loads_g = [one_repetition_load(formula, done.load_g, done.repetitions) for formula in Formula]
    return StrengthEstimate(
        movement=done.movement,
        form=done.form,
        dumbbells=done.dumbbells,
        tempo=done.tempo,
        lowest_g=round(min(loads_g)),
        highest_g=round(max(loads_g)),
    )


def strength_estimates(sets: Iterable[SetDone]) -> tuple[StrengthEstimate, ...]:
    """For each form, number of dumbbells and tempo the estimate that reaches highest, in order of first
    sight."""
    best: dict[tuple[str, str, int, str | None], StrengthEstimate] = {}
    for estimate in filter(None, map(strength_estimate, sets)):
        key = (estimate.movement, estimate.form, estimate.dumbbells, estimate.tempo)
        if key not in best or estimate.highest_g > best[key].highest_g:
            best[key] = estimate
    return tuple(best.values())
