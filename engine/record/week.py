"""A week in figures, from its records: done against planned, minutes, loads, effort, pain.

Weeks are ISO weeks of the local date. A pair of dumbbells counts as twice one weight; repetitions without a
weight are listed apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from functools import reduce
from statistics import fmean, pstdev
from typing import Self

from pydantic import NonNegativeFloat, NonNegativeInt

from engine.base.model import Model
from engine.base.periods import days_of, iso_week
from engine.base.units import MS_PER_MIN
from engine.live.state import Outcome
from engine.movements.movement import MovementPattern, Side
from engine.movements.pain import PainNote
from engine.record.record import Record, SetDone
from engine.record.sets import (
    held_s_of,
    is_hard,
    is_whole,
    is_without_weight,
    is_worked,
    repetitions_of,
)
from engine.session.fitted import FittedSession


class Worked(Model):
    """The totals of some sets, each a movement in a round with all its sides.

    ``sets`` are those worked to their end on every side; ``stopped_sets`` were begun and not ended, and add
    only to the amounts. Of the ``sets``, ``rated_sets`` were rated and ``hard_sets`` hard; ``indirect_sets``
    train the pattern besides their own and are not among them. ``volume_g`` is repetitions × grams, without
    ``bodyweight_repetitions``; a hold has only ``held_s``.
    """

    sets: NonNegativeInt = 0
    stopped_sets: NonNegativeInt = 0
    rated_sets: NonNegativeInt = 0
    hard_sets: NonNegativeInt = 0
    indirect_sets: NonNegativeInt = 0
    volume_g: NonNegativeInt = 0
    bodyweight_repetitions: NonNegativeInt = 0
    held_s: NonNegativeFloat = 0
    time_under_load_ms: NonNegativeInt = 0

    @property
    def unrated_sets(self) -> int:
        """Of the sets, those that are neither hard nor easy."""
        return self.sets - self.rated_sets

    def plus(self, more: Worked) -> Self:
        """These totals and those of other sets."""
        added = {name: getattr(self, name) + getattr(more, name) for name in Worked.model_fields}
        return self.model_copy(update=added)


class PatternWeek(Worked):
    """One movement pattern's week, without accessories."""

    pattern: MovementPattern


class PainLine(Model):
    """A pain note with the session it belongs to."""

    local_date: date
    record_id: str
    note: PainNote


class WeekReview(Model):
    """A week's figures. ``session_load`` is the sum of effort × minutes (Foster 2001, JSCR 15:109–115).

    ``strength_days`` are the days with a set that was worked to its end, on both sides where it has sides.
    ``monotony`` and ``load_times_monotony`` are None where they are undefined: not all activity was logged,
    or every day was the same. ``sessions_without_effort`` counts sessions missing from the session load.
    ``accessories``, such as calf raises, train only part of a pattern, so they count for none.
    ``easy_movements`` and ``easy_minutes`` stand apart: only what hurt in them is among the other figures.
    """

    iso_week: str
    sessions: NonNegativeInt = 0
    minutes: NonNegativeFloat = 0
    rounds_done: NonNegativeInt = 0
    rounds_planned: NonNegativeInt = 0
    patterns: tuple[PatternWeek, ...] = ()
    accessories: Worked = Worked()
    session_load: NonNegativeFloat = 0
    sessions_without_effort: NonNegativeInt = 0
    monotony: NonNegativeFloat | None = None
    load_times_monotony: NonNegativeFloat | None = None
    strength_days: NonNegativeInt = 0
    stopped_for_pain: NonNegativeInt = 0
    pains: tuple[PainLine, ...] = ()
    easy_movements: NonNegativeInt = 0
    easy_minutes: NonNegativeFloat = 0

    @property
    def load_in_part(self) -> float:
        """The session load where the effort of some session is missing from it; 0 where it is whole."""
        return self.session_load if self.sessions_without_effort else 0

    @property
    def volume_g(self) -> int:
        """Repetitions × grams of all sets, accessories included."""
        return sum(one.volume_g for one in (*self.patterns, self.accessories))


def session_load(record: Record) -> float | None:
    """Effort × minutes of the session; None where nobody said the effort."""
    return None if record.effort is None else record.effort * record.active_ms / MS_PER_MIN


def review_week(records: Iterable[Record], week: str, *, all_activity_logged: bool = False) -> WeekReview:
    """The figures of one ISO week, from records as amended. Records of other weeks are ignored.

    Monotony needs ``all_activity_logged``: whether other sport and work are logged too.
    """
    all_in_week = sorted(
        (record for record in records if iso_week(record.local_date) == week),
        key=lambda record: (record.started_at, record.id),
    )
    in_week = [record for record in all_in_week if not record.session.easy_movement]
    easy = [record for record in all_in_week if record.session.easy_movement]
    loads = [(record.local_date, session_load(record)) for record in in_week]
    daily = [sum(load or 0 for day, load in loads if day == one_day) for one_day in days_of(week)]
    complete = all_activity_logged and all(load is not None for _, load in loads)
    alike = monotony(daily) if complete else None
    return WeekReview(
        iso_week=week,
        sessions=len(in_week),
        minutes=_minutes(in_week),
        rounds_done=sum(sum(rounds_done(record)) for record in in_week),
        rounds_planned=sum(record.session.rounds() for record in in_week),
        patterns=_by_pattern(in_week),
        accessories=_accessories(in_week),
        session_load=sum(daily),
        sessions_without_effort=sum(load is None for _, load in loads),
        monotony=alike,
        load_times_monotony=None if alike is None else sum(daily) * alike,
        strength_days=len({record.local_date for record in in_week if _has_whole_set(record)}),
        stopped_for_pain=sum(record.ending == "pain" for record in in_week),
        pains=tuple(
            PainLine(local_date=r.local_date, record_id=r.id, note=note)
            for r in all_in_week
            for note in r.pains
        ),
        easy_movements=len(easy),
        easy_minutes=_minutes(easy),
    )


def _has_whole_set(record: Record) -> bool:
    """Whether some movement was worked to the end of its interval, on both sides where it has sides."""
    whole: dict[tuple[str, int, int, str], set[Side]] = {}
    for done in filter(is_whole, record.sets):
        whole.setdefault((done.block, done.round, done.place, done.movement), set()).add(done.side)
    return any(map(_all_sides, whole.values()))


def _all_sides(sides: Collection[Side]) -> bool:
    return set(sides) in ({Side.both}, {Side.left, Side.right})


def _minutes(records: Iterable[Record]) -> float:
    return sum(record.active_ms for record in records) / MS_PER_MIN


def monotony(daily_loads: Sequence[float]) -> float | None:
    """The mean of seven daily loads over their population standard deviation; None where that is 0.

    Rest days count as 0. Source: Foster 1998, MSSE 30:1164–1168; the population form is the one that
    reproduces Foster 2001, Table 5.
    """
    spread = pstdev(daily_loads)
    return None if spread == 0 else fmean(daily_loads) / spread


def rounds_done(record: Record) -> tuple[int, ...]:
    """For each work block, the number of rounds in which every set was done to its end; none for easy
    movement."""
    return rounds_done_in(record.session, record.sets)


def rounds_done_in(session: FittedSession, sets: Iterable[SetDone]) -> tuple[int, ...]:
    """The same from a session, its segments as they were run, and the sets that were done."""
    if session.easy_movement:
        return ()
    planned: Counter[tuple[str, int]] = Counter(
        (segment.block, segment.round)
        for segment in session.segments
        if segment.kind == "work" and segment.round is not None
    )
    finished = Counter((one.block, one.round) for one in sets if one.outcome is Outcome.done)
    whole = [block for (block, number), needed in planned.items() if finished[block, number] >= needed]
    return tuple(whole.count(block.id) for block in session.blocks if block.kind == "work")


def _by_pattern(records: Iterable[Record]) -> tuple[PatternWeek, ...]:
    """The totals of each pattern, and the sets that train it besides their own."""
    found: dict[MovementPattern, PatternWeek] = {}
    for sides in _worked(records, accessory=False):
        own, totals = sides[0], _totals(sides)
        besides = Worked(indirect_sets=totals.sets)
        for pattern, more in ((own.pattern, totals), *((also, besides) for also in own.also)):
            found[pattern] = found.get(pattern, PatternWeek(pattern=pattern)).plus(more)
    return tuple(found[pattern] for pattern in MovementPattern if pattern in found)


def _accessories(records: Iterable[Record]) -> Worked:
    return reduce(Worked.plus, map(_totals, _worked(records, accessory=True)), Worked())


def _worked(records: Iterable[Record], *, accessory: bool) -> Iterator[tuple[SetDone, ...]]:
    """The worked sides of each movement in each round, in order."""
    for record in records:
        by_set: dict[tuple[str, int, int, str], list[SetDone]] = {}
        for done in record.sets:
            if is_worked(done) and done.accessory == accessory:
                by_set.setdefault((done.block, done.round, done.place, done.movement), []).append(done)
        yield from map(tuple, by_set.values())


def _totals(sides: Sequence[SetDone]) -> Worked:
    """The totals of the sides of one set: rated where some side was rated, and hard where one was hard."""
    rated, hard = any(one.effort is not None for one in sides), any(map(is_hard, sides))
    whole = _all_sides({one.side for one in sides if is_whole(one)})
    repetitions = [(done, repetitions_of(done) or 0) for done in sides]
    return Worked(
        sets=int(whole),
        stopped_sets=int(not whole),
        rated_sets=int(whole and rated),
        hard_sets=int(whole and hard),
        volume_g=sum(number * (done.load_g or 0) * done.dumbbells for done, number in repetitions),
        bodyweight_repetitions=sum(number for done, number in repetitions if is_without_weight(done)),
        held_s=sum(held_s_of(done) or 0 for done in sides),
        time_under_load_ms=sum(done.worked_ms for done in sides),
    )
