"""When a load may rise, and by how much: clear sessions, published steps, the gap between sides, lighter
weeks.

Order of worth: position, then range, then repetitions, then load. Where published rules disagree (a
percentage band against kilograms) the stricter applies; the coach may allow the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from enum import StrEnum
from itertools import takewhile

from engine.exposure import Exposure, LoadKey
from engine.model import Model, Slug
from engine.movement import MovementPattern, Side
from engine.pain import Advice
from engine.record import SetDone
from engine.review import repetitions_of
from engine.run_state import Outcome
from engine.strength import least_in_reserve
from engine.tempo import parse_tempo, paused
from engine.units import MS_PER_S, LoadUnit

OURS = "† Our judgement, no source."
ACSM = "ACSM position stand, Ratamess 2009, MSSE 41:687–708"
NSCA = "NSCA Essentials, 4th edition (from memory)"

BAND_PERCENT = (2, 10)
"""A rise once the repetitions are there: Ratamess 2009; an overview of reviews of 2026 has replaced it
since."""
LOWER_BODY_STEP_G, UPPER_BODY_STEP_G = (2_000, 4_000), (1_000, 2_000)
TRAINED_LOWER_BODY_STEP_G, TRAINED_UPPER_BODY_STEP_G = (4_000, 7_000), (2_000, 4_000)
"""Rises of all that is lifted, both dumbbells of a pair together: NSCA Essentials, 4th edition (from
memory). The open ends “7+” and “4+” of the trained are taken at their figure."""
LOWER_BODY = frozenset({MovementPattern.squat, MovementPattern.hinge, MovementPattern.lunge})

CLEAR_SESSIONS = 2
"""On two consecutive sessions: Ratamess 2009 (from memory)."""
OVER_THE_GOAL = 2
"""NSCA's two-for-two rule, seen in a secondary text."""
RESERVE_TO_RISE = 3
"""† Our judgement, no source."""
LONGEST_BREAK_DAYS = 13
"""Clear sessions further apart are no pair; after a longer break the load is brought down anyway. † Our
judgement, no source."""
LONGEST_REPETITION_MS = 8_000
"""0.5–8 s a repetition do alike, over 10 s does less: Schoenfeld, Ogborn & Krieger 2015, Sports Med
45:577–585."""

GAP_REPETITIONS, GAP_EFFORT, GAP_SESSIONS = 2, 1.0, 3
"""A gap between sides worth a question. † Our judgement, no source."""
LIGHTER_WEEK_AFTER, LIGHTER_WEEK_BEFORE = 4, 6
LIGHTER_SHARE_PERCENT = 67
"""A week with at most two thirds of the sets of the week before was a lighter one. † Our judgement, no
source."""


class Follow(StrEnum):
    """Which published rule limits a rise of the load: both, the band of 2–10 %, or the kilograms."""

    stricter = "stricter"
    percent = "percent"
    kilograms = "kilograms"


class LoadRules(Model):
    """What the coach and the profile say about loads; ``held`` are movements on hold after pain.

    For those ``allowed`` the coach lets the next weight come whatever limits a rise; for those ``sooner`` one
    clear session earns a step.
    """

    follow: Follow = Follow.stricter
    trained: bool = False
    held: tuple[Slug, ...] = ()
    allowed: tuple[Slug, ...] = ()
    sooner: tuple[Slug, ...] = ()
    unit: LoadUnit = LoadUnit.kg


def band_g(load_g: int) -> tuple[int, int]:
    """The loads from 2 % to 10 % up, in whole grams inside the band."""
    low, high = BAND_PERCENT
    return -(-load_g * (100 + low) // 100), load_g * (100 + high) // 100


def kilogram_step_g(pattern: MovementPattern, *, trained: bool) -> tuple[int, int]:
    """The least and the most that all that is lifted rises at a time; carries and trunk as the upper body."""
    if pattern in LOWER_BODY:
        return TRAINED_LOWER_BODY_STEP_G if trained else LOWER_BODY_STEP_G
    return TRAINED_UPPER_BODY_STEP_G if trained else UPPER_BODY_STEP_G


def barred_by(
    load_g: int, next_g: int, *, dumbbells: int, pattern: MovementPattern, rules: LoadRules
) -> tuple[str, ...]:
    """The sources that forbid a rise from one weight to the next, of those the coach follows; none where it
    is allowed.

    A rise below the least of a rule is allowed: it is the more careful one.
    """
    _, most_g = kilogram_step_g(pattern, trained=rules.trained)
    above_band = next_g > band_g(load_g)[1] and rules.follow is not Follow.kilograms
    above_step = (next_g - load_g) * dumbbells > most_g and rules.follow is not Follow.percent
    return (ACSM,) * above_band + (NSCA,) * above_step


class Shortfall(StrEnum):
    """What kept a session from being clear, the weightiest first; the values are words of a sentence."""

    pain = "something hurt"
    position = "the position was lost"
    range_cut = "the range was shortened"
    form = "an easier form was done"
    load = "the load was not said"
    rounds = "not every round and side was done"
    unpredictable = "repetitions are not predictable at this tempo"
    repetitions = "repetitions were missing in the last round"
    effort = "the effort of the last round was not said"
    reserve = "fewer than 3 repetitions were left"


def shortfall(exposure: Exposure, *, goal: int | None = None) -> Shortfall | None:
    """What kept a session from being clear; None where it was.

    Clear is: the ceiling of repetitions reached on both sides in the last round, every planned round done, 3
    or more in reserve, position, range and form kept, pain 0. With a ``goal`` of repetitions, 2 over it are
    enough (two-for-two); without one, an ``X`` tempo has no ceiling to reach. What the log leaves as planned
    counts as planned, but an effort that was not said is not taken for a low one.
    """
    if exposure.pain or exposure.advice is not Advice.go_on:
        return Shortfall.pain
    if not exposure.position_kept:
        return Shortfall.position
    if not exposure.range_kept:
        return Shortfall.range_cut
    if not exposure.form_kept:
        return Shortfall.form
    if exposure.load_g is None:
        return Shortfall.load
    if not _whole(exposure):
        return Shortfall.rounds
    return _short_of_repetitions(exposure, _wanted(exposure.key, goal))


def _short_of_repetitions(exposure: Exposure, wanted: int | None) -> Shortfall | None:
    """Judges the last round, and with it every round that was heavier."""
    if wanted is None and exposure.key.tempo is not None:
        return Shortfall.unpredictable
    last = exposure.rounds[-1]
    judged = [s for s in exposure.sets if s in last or (s.load_g or 0) > (exposure.load_g or 0)]
    if any((repetitions_of(done) or 0) < (wanted or 0) for done in judged):
        return Shortfall.repetitions
    if any(done.effort is None for done in judged):
        return Shortfall.effort
    efforts = [done.effort for done in exposure.sets if done.effort is not None]
    return Shortfall.reserve if min(map(least_in_reserve, efforts)) < RESERVE_TO_RISE else None


def _whole(exposure: Exposure) -> bool:
    """Whether every planned round was worked, the last one to its end and on every side."""
    sides = {done.side for done in exposure.sets}
    last = exposure.rounds[-1]
    to_the_end = all(done.outcome is Outcome.done for done in last)
    both = sides in ({Side.both}, {Side.left, Side.right}) and sides == {done.side for done in last}
    return to_the_end and both and len(exposure.rounds) >= exposure.rounds_planned


def _wanted(key: LoadKey, goal: int | None) -> int | None:
    """Repetitions that earn a step: the interval's ceiling, or 2 over a goal that is lower."""
    targets = [key.ceiling] if key.ceiling is not None else []
    return min([*targets, goal + OVER_THE_GOAL] if goal is not None else targets, default=None)


class Rung(Model):
    """Where a person stands with a load: all rounds at ``load_g``, the first ``heavier_rounds`` heavier, with
    a pause at the bottom or without."""

    load_g: int
    heavier_g: int | None = None
    heavier_rounds: int = 0
    pause: bool = False


def pause_key(key: LoadKey) -> LoadKey | None:
    """The key with 1 s more at the bottom; None where the tempo has no length or gets too slow."""
    repetition_ms = parse_tempo(key.tempo).repetition_ms if key.tempo is not None else None
    if key.tempo is None or repetition_ms is None or repetition_ms + MS_PER_S > LONGEST_REPETITION_MS:
        return None
    return key.model_copy(update={"tempo": paused(key.tempo)})


def rung_of(exposure: Exposure, key: LoadKey) -> Rung | None:
    """The rung a session stood on, seen from a key without the pause; None where a load was not said."""
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


def clear_row(ladder: Sequence[Exposure], key: LoadKey, *, goal: int | None = None) -> tuple[Exposure, ...]:
    """The latest clear sessions in a row on one rung, the last one first, at most two.

    A missed session neither counts nor breaks the row, so “12, missed, 12” at a goal of 10 are two clear
    sessions, as long as no more than 13 days lie between them. † Our judgement: the published rules say
    “consecutive” and leave a missed session open. A session of fewer rounds does not support one of more.
    """
    row: list[Exposure] = []
    for exposure in reversed(ladder):
        if shortfall(exposure, goal=goal) is not None or (row and not _supports(exposure, row[-1], key)):
            break
        row.append(exposure)
        if len(row) == CLEAR_SESSIONS:
            break
    return tuple(row)


def _supports(earlier: Exposure, later: Exposure, key: LoadKey) -> bool:
    """Whether two sessions stand on one rung, close enough together."""
    apart_days = (later.local_date - earlier.local_date).days
    same = rung_of(earlier, key) == rung_of(later, key)
    even = all(min(one.loads_g or (0,)) == one.load_g for one in (earlier, later))
    return same and even and apart_days <= LONGEST_BREAK_DAYS and len(earlier.rounds) >= len(later.rounds)


def side_question(exposures: Iterable[Exposure]) -> str | None:
    """A question for the coach where one side was weaker in each of the last three two-sided sessions.

    ``exposures`` of one form, the earliest first. † Our judgement: a gap of 2 repetitions or 1 effort point.
    """
    two_sided = [one for one in exposures if one.of_side(Side.left) and one.of_side(Side.right)]
    weaker = [weaker_side(one) for one in two_sided[-GAP_SESSIONS:]]
    if len(weaker) < GAP_SESSIONS or weaker[0] is None or len(set(weaker)) > 1:
        return None
    return f"The {weaker[0]} side was weaker in three sessions: what does the coach make of it?"


def weaker_side(exposure: Exposure) -> Side | None:
    """The side that fell behind in some round: 2 or more repetitions fewer, else 1 or more effort points up.

    Sets that were broken off say nothing about a side.
    """
    pairs = [_pair(sets) for sets in exposure.rounds]
    whole = [pair for pair in pairs if pair is not None]
    for left, right in whole:
        behind = (repetitions_of(right) or 0) - (repetitions_of(left) or 0)
        if abs(behind) >= GAP_REPETITIONS:
            return Side.left if behind > 0 else Side.right
    for left, right in whole:
        harder = 0.0 if left.effort is None or right.effort is None else left.effort - right.effort
        if abs(harder) >= GAP_EFFORT:
            return Side.left if harder > 0 else Side.right
    return None


def _pair(sets: Iterable[SetDone]) -> tuple[SetDone, SetDone] | None:
    by_side = {done.side: done for done in sets if done.outcome is Outcome.done}
    left, right = by_side.get(Side.left), by_side.get(Side.right)
    return (left, right) if left and right else None


def lighter_week(history: Iterable[Exposure], today: date) -> str | None:
    """A proposal, never forced, after four weeks of training without a lighter one; None where none is due.

    Counts the ISO weeks before today's, back to a week without training or with at most two thirds of the
    sets of the week before. † Our judgement: every 4–6 weeks.
    """
    sets: dict[date, int] = {}
    for exposure in history:
        monday = _monday(exposure.local_date)
        sets[monday] = sets.get(monday, 0) + len(exposure.sets)
    weeks, week = 0, _monday(today) - timedelta(weeks=1)
    while sets.get(week, 0) and not _was_lighter(sets[week], sets.get(week - timedelta(weeks=1), 0)):
        weeks, week = weeks + 1, week - timedelta(weeks=1)
    if weeks < LIGHTER_WEEK_AFTER:
        return None
    return (
        f"{weeks} weeks of training in a row: a lighter week is proposed every {LIGHTER_WEEK_AFTER} to "
        f"{LIGHTER_WEEK_BEFORE} weeks, with the same loads and fewer rounds. The choice is yours. {OURS}"
    )


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _was_lighter(sets: int, before: int) -> bool:
    return sets * 100 <= before * LIGHTER_SHARE_PERCENT
