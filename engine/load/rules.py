"""How much a load may rise at a time, by the published rules.

Position comes first, then range, then repetitions, then load. Where published rules disagree (a percentage
band against kilograms), the stricter applies; the coach may allow the other.
"""

from __future__ import annotations

from math import inf

from engine.base.message import Message, message
from engine.base.model import Model, Slug
from engine.movements.movement import MovementPattern
from engine.plan.plan import LEAST_RESERVE

OURS = message("source_our_judgement")
ACSM = message("source_acsm_2009")
NSCA = message("source_nsca_4th_edition")

BAND_PERCENT = (2, 10)
"""The rise once the repetitions are reached: Ratamess 2009; an overview of reviews of 2026 has replaced it
since."""
JUMP_PERCENT = BAND_PERCENT[1]
"""A rise of more than the band is a jump: it comes in round 1 first."""
MOST_JUMP_PERCENT = 25
"""A jump of more is never proposed. † Our judgement, no source."""
LOWER_BODY_STEP_G, UPPER_BODY_STEP_G = (2_000, 4_000), (1_000, 2_000)
"""Rises of all that is lifted, both dumbbells of a pair together, for the less trained, whom we take
everybody to be: NSCA Essentials, 4th edition (from memory)."""
LOWER_BODY = frozenset({MovementPattern.squat, MovementPattern.hinge, MovementPattern.lunge})

RESERVE = 3
"""The repetitions to have left after a set, where the coach says nothing else. † Our judgement, no source."""
LEAST_CAREFUL_RESERVE = 3
"""What a coach cannot go below for those who are new to strength training, older, pregnant or have high blood
pressure, and in a movement's first sessions. † Our judgement, no source."""
EASY_EFFORT, EASY_RESERVE = 5, 5
"""Effort 5 of 10 at most, and what that leaves, in the easy sessions after an illness. † Our judgement, no
source."""
FIRST_SESSIONS = 4
"""The sessions in which a load is still being found. † Our judgement, no source."""


class LoadRules(Model):
    """What the coach, the profile and the day say about loads.

    For movements ``allowed``, the coach sets the limits of a rise aside; for those ``sooner``, one clear
    session earns a step. With ``no_growth`` no load rises and no step is taken today: a joint hurts, or
    muscles are very sore. ``careful`` are those who always keep ``LEAST_CAREFUL_RESERVE``. ``easy_session``
    counts the easy sessions after an illness, today's included; 0 where there is none.
    """

    allowed: tuple[Slug, ...] = ()
    sooner: tuple[Slug, ...] = ()
    no_growth: bool = False
    careful: bool = False
    easy_session: int = 0


def reserve_aimed_at(prescribed: int | None, *, careful: bool, sessions: int) -> int:
    """The repetitions to have left after each set.

    ``prescribed`` is the coach's number, ``sessions`` how often the movement was done in this version before.
    """
    is_new = sessions < FIRST_SESSIONS
    least = LEAST_CAREFUL_RESERVE if careful or is_new else LEAST_RESERVE
    return max(least, RESERVE if prescribed is None else prescribed)


def band_g(load_g: int) -> tuple[int, int]:
    """The lowest and the highest load that are 2 % to 10 % up, in whole grams inside the band."""
    low, high = BAND_PERCENT
    return -(-load_g * (100 + low) // 100), load_g * (100 + high) // 100


def percent_up(load_g: int, next_g: int) -> float:
    """By how many percent one load is above another; without end from no load."""
    return (next_g - load_g) * 100 / load_g if load_g else inf


def kilogram_step_g(pattern: MovementPattern) -> tuple[int, int]:
    """The least and the most that everything lifted together rises at a time.

    Carries and trunk count as upper body."""
    return LOWER_BODY_STEP_G if pattern in LOWER_BODY else UPPER_BODY_STEP_G


def barred_by(load_g: int, next_g: int, *, dumbbells: int, pattern: MovementPattern) -> tuple[Message, ...]:
    """The sources that forbid a rise from one weight to the next in all rounds; empty where it is allowed.

    Weights are grams of one dumbbell. A rise below the least of a rule is allowed: it is more careful.
    """
    above_band = next_g > band_g(load_g)[1]
    above_step = (next_g - load_g) * dumbbells > kilogram_step_g(pattern)[1]
    return (ACSM,) * above_band + (NSCA,) * above_step
