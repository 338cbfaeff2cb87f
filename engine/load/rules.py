"""How much a load may rise at a time, by the published rules.

Position comes first, then range, then repetitions, then load. Where published rules disagree (a percentage
band against kilograms), the stricter applies; the coach may allow the other.
"""

from __future__ import annotations

from enum import StrEnum

from engine.base.model import Model, Slug
from engine.base.units import LoadUnit
from engine.movements.movement import MovementPattern

OURS = "† Our judgement, no source."
ACSM = "ACSM position stand, Ratamess 2009, MSSE 41:687–708"
NSCA = "NSCA Essentials, 4th edition (from memory)"

BAND_PERCENT = (2, 10)
"""The rise once the repetitions are reached: Ratamess 2009; an overview of reviews of 2026 has replaced it
since."""
LOWER_BODY_STEP_G, UPPER_BODY_STEP_G = (2_000, 4_000), (1_000, 2_000)
TRAINED_LOWER_BODY_STEP_G, TRAINED_UPPER_BODY_STEP_G = (4_000, 7_000), (2_000, 4_000)
"""Rises of all that is lifted, both dumbbells of a pair together: NSCA Essentials, 4th edition (from
memory). The open ends “7+” and “4+” for the trained count as 7 and 4."""
LOWER_BODY = frozenset({MovementPattern.squat, MovementPattern.hinge, MovementPattern.lunge})


class Follow(StrEnum):
    """Which published rule limits a rise of the load: both, the band of 2–10 %, or the kilograms."""

    stricter = "stricter"
    percent = "percent"
    kilograms = "kilograms"


class LoadRules(Model):
    """What the coach and the profile say about loads.

    Movements ``left_out_after_pain`` take no weight. For those ``allowed``, the coach sets the limits of a
    rise aside; for those ``sooner``, one clear session earns a step. With ``no_growth`` no load rises and no
    step is taken today: a joint hurts, or muscles are very sore.
    """

    follow: Follow = Follow.stricter
    trained: bool = False
    left_out_after_pain: tuple[Slug, ...] = ()
    allowed: tuple[Slug, ...] = ()
    sooner: tuple[Slug, ...] = ()
    unit: LoadUnit = LoadUnit.kg
    no_growth: bool = False


def band_g(load_g: int) -> tuple[int, int]:
    """The lowest and the highest load that are 2 % to 10 % up, in whole grams inside the band."""
    low, high = BAND_PERCENT
    return -(-load_g * (100 + low) // 100), load_g * (100 + high) // 100


def kilogram_step_g(pattern: MovementPattern, *, trained: bool) -> tuple[int, int]:
    """The least and the most that everything lifted together rises at a time.

    Carries and trunk count as upper body."""
    if pattern in LOWER_BODY:
        return TRAINED_LOWER_BODY_STEP_G if trained else LOWER_BODY_STEP_G
    return TRAINED_UPPER_BODY_STEP_G if trained else UPPER_BODY_STEP_G


def barred_by(
    load_g: int, next_g: int, *, dumbbells: int, pattern: MovementPattern, rules: LoadRules
) -> tuple[str, ...]:
    """The sources that forbid a rise from one weight to the next, of those that ``rules`` follow; empty where
    it is allowed.

    Weights are grams of one dumbbell. A rise below the least of a rule is allowed: it is more careful.
    """
    _, most_g = kilogram_step_g(pattern, trained=rules.trained)
    above_band = next_g > band_g(load_g)[1] and rules.follow is not Follow.kilograms
    above_step = (next_g - load_g) * dumbbells > most_g and rules.follow is not Follow.percent
    return (ACSM,) * above_band + (NSCA,) * above_step
