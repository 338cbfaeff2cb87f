"""Clear sessions: whether a movement was done well enough for its load to rise."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from engine.base.message import Count, Said, message
from engine.live.state import Outcome
from engine.load.rung import rung_of
from engine.load.tables import least_in_reserve
from engine.movements.movement import Kit, Side
from engine.record.exposure import Exposure, LoadKey
from engine.record.reserve import left_after
from engine.record.sets import repetitions_of

CLEAR_SESSIONS = 2
"""On two consecutive sessions: Ratamess 2009 (from memory)."""
OVER_THE_GOAL = 2
"""NSCA's two-for-two rule, seen in a secondary text."""
RESERVE_TO_RISE = 3
"""† Our judgement, no source."""
RESERVE_TO_JUMP = 5
"""Before a jump, and before the next weight while a load is being found; 5 stands for 5 or more. † Our
judgement, no source."""
LONGEST_BREAK_DAYS = 13
"""Clear sessions further apart than this do not count together; after a longer break the load comes down
anyway. † Our judgement, no source."""


class Shortfall(StrEnum):
    """What kept a session from being clear, the most serious first."""

    pain = "pain"
    form = "form"
    range_cut = "range_cut"
    variant = "variant"
    load = "load"
    rounds = "rounds"
    unpredictable = "unpredictable"
    repetitions = "repetitions"
    effort = "effort"
    reserve = "reserve"


FELL_SHORT = {
    Shortfall.pain: message("something_hurt_last_time"),
    Shortfall.form: message("form_slipped_last_time"),
    Shortfall.range_cut: message("range_shortened_last_time"),
    Shortfall.variant: message("easier_version_last_time"),
    Shortfall.load: message("weight_not_said_last_time"),
    Shortfall.rounds: message("rounds_not_all_done_last_time"),
    Shortfall.unpredictable: message("tempo_predicts_no_repetitions"),
    Shortfall.repetitions: message("repetitions_missing_last_time"),
    Shortfall.effort: message("repetitions_left_not_said_last_time"),
    Shortfall.reserve: message("too_few_left_last_time", left=Count(count=RESERVE_TO_RISE)),
}
"""What is said of a session that was not clear."""
WHAT_HELPS = {
    Shortfall.effort: message("say_how_many_were_left"),
    Shortfall.unpredictable: message("coach_decides_on_a_step"),
}


def what_helps(fell_short: Shortfall) -> Said:
    """What would let a step be proposed after such a session."""
    return (WHAT_HELPS[fell_short],) if fell_short in WHAT_HELPS else ()


def shortfall(exposure: Exposure, *, goal: int | None = None) -> Shortfall | None:
    """What kept a session from being clear; None where it was clear.

    In a clear session the ceiling of repetitions was reached on both sides in the last round, in every place
    that the movement has in it, half of it in
    rounds that were heavier, every planned round was done, 3 or more repetitions were in reserve, form,
    range and version were kept, and pain was 0. Without a weight the same holds.
    With a ``goal`` of repetitions, 2 over it are enough (two-for-two); without one, an ``X`` tempo has no
    ceiling to reach. What the log leaves as planned counts as planned, but an effort that was not said never
    counts as low.
    """
    if not exposure.is_free_of_pain:
        return Shortfall.pain
    if not exposure.form_kept:
        return Shortfall.form
    if not exposure.range_kept:
        return Shortfall.range_cut
    if not exposure.variant_kept:
        return Shortfall.variant
    if exposure.load_g is None and exposure.key.kit is not Kit.none:
        return Shortfall.load
    if not _all_rounds_done(exposure):
        return Shortfall.rounds
    return _short_of_repetitions(exposure, _repetitions_wanted(exposure.key, goal))


def _short_of_repetitions(exposure: Exposure, wanted: int | None) -> Shortfall | None:
    """Judges repetitions and effort of the last round and of every heavier one."""
    if wanted is None and exposure.key.tempo is not None:
        return Shortfall.unpredictable
    goals = [(done, wanted or 0) for done in exposure.last_round]
    goals += [(done, half(wanted or 0)) for done in exposure.heavier_sets]
    if any((repetitions_of(done) or 0) < goal for done, goal in goals):
        return Shortfall.repetitions
    if any(done.effort is None for done, _ in goals):
        return Shortfall.effort
    efforts = [done.effort for done in exposure.sets if done.effort is not None]
    return Shortfall.reserve if min(map(least_in_reserve, efforts)) < RESERVE_TO_RISE else None


def half(repetitions: int) -> int:
    """The goal with a weight that is a jump: half the ceiling, rounded up."""
    return -(-repetitions // 2)


def reserve_of(exposure: Exposure) -> float | None:
    """The fewest repetitions left in the last round and in heavier ones, at most 5; None where one set was
    not rated."""
    efforts = [done.effort for done in (*exposure.last_round, *exposure.heavier_sets)]
    rated = [effort for effort in efforts if effort is not None]
    return min(map(left_after, rated), default=None) if rated == efforts else None


def _all_rounds_done(exposure: Exposure) -> bool:
    """Whether every planned round was worked, and the last one to its end on every side."""
    sides = {done.side for done in exposure.sets}
    last = exposure.last_round
    to_the_end = all(done.outcome is Outcome.done for done in last)
    both = sides in ({Side.both}, {Side.left, Side.right}) and sides == {done.side for done in last}
    rounds, intervals = len(exposure.rounds), len(exposure.intervals)
    all_done = rounds >= exposure.rounds_planned and intervals >= exposure.intervals_planned
    return to_the_end and both and all_done


def _repetitions_wanted(key: LoadKey, goal: int | None) -> int | None:
    """The repetitions that earn a step: the interval's ceiling, or 2 over a lower goal."""
    targets = [key.ceiling] if key.ceiling is not None else []
    return min([*targets, goal + OVER_THE_GOAL] if goal is not None else targets, default=None)


def clear_row(ladder: Sequence[Exposure], key: LoadKey, *, goal: int | None = None) -> tuple[Exposure, ...]:
    """The latest clear sessions in a row on one rung, at most two, the last one first.

    ``ladder`` are the exposures of ``key``, with or without the pause, the earliest first. A missed session
    neither counts nor breaks the row, so “12, missed, 12” at a goal of 10 are two clear sessions, if at most
    13 days lie between them. † Our judgement: the published rules say “consecutive” and do not mention missed
    sessions. A session does not count together with a later one of more rounds.
    """
    row: list[Exposure] = []
    for exposure in reversed(ladder):
        if shortfall(exposure, goal=goal) is not None or (row and not _make_a_pair(exposure, row[-1], key)):
            break
        row.append(exposure)
        if len(row) == CLEAR_SESSIONS:
            break
    return tuple(row)


def _make_a_pair(earlier: Exposure, later: Exposure, key: LoadKey) -> bool:
    """Whether two sessions are on one rung, with even loads, close enough together."""
    apart_days = (later.local_date - earlier.local_date).days
    same = rung_of(earlier, key) == rung_of(later, key) and earlier.key.tempo == later.key.tempo
    even = all(one.loads_g is None or min(one.loads_g) == one.load_g for one in (earlier, later))
    return same and even and apart_days <= LONGEST_BREAK_DAYS and len(earlier.rounds) >= len(later.rounds)
