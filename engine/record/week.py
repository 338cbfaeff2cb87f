"""A week in figures, from its records: done against planned, minutes, loads, effort, pain.

Weeks are ISO weeks of the local date. A pair of dumbbells counts as twice one weight; repetitions without a
weight are listed apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from functools import reduce
from statistics import fmean, pstdev
from typing import TypeVar

from engine.base.model import Model
from engine.base.periods import days_of, iso_week
from engine.base.units import MS_PER_MIN
from engine.live.state import Outcome
from engine.movements.movement import MovementPattern, Side
from engine.movements.pain import PainNote
from engine.record.record import Record, SetDone
from engine.record.sets import is_hard, is_worked, repetitions_of

DIRECT, INDIRECT = 1.0, 0.5
"""A set counts 1 for its pattern and 0.5 for each it trains indirectly: Pelland 2024."""


class Worked(Model):
    """The totals of some sets. ``volume_g`` is repetitions × grams, without ``bodyweight_repetitions``."""

    sets: float = 0
    hard_sets: float = 0
    volume_g: int = 0
    bodyweight_repetitions: int = 0
    time_under_load_ms: int = 0


class PatternWeek(Worked):
    """One movement pattern's week, without accessories."""

    pattern: MovementPattern


Sum = TypeVar("Sum", bound=Worked)


class PainLine(Model):
    """A pain note with the session it belongs to."""

    local_date: date
    record_id: str
    note: PainNote


class WeekReview(Model):
    """A week's figures. ``session_load`` is the sum of effort × minutes (Foster 2001, JSCR 15:109–115).

    ``monotony`` and ``load_times_sameness`` are None where they are undefined: not all activity was logged,
    or every day was the same. ``sessions_without_effort`` counts sessions missing from the session load.
    ``accessories``, such as calf raises, train only part of a pattern, so they count for none.
    ``easy_movements`` and ``easy_minutes`` stand apart: only what hurt in them is among the other figures.
    """

    iso_week: str
    sessions: int = 0
    minutes: float = 0
    rounds_done: int = 0
    rounds_planned: int = 0
    patterns: tuple[PatternWeek, ...] = ()
    accessories: Worked = Worked()
    session_load: float = 0
    sessions_without_effort: int = 0
    monotony: float | None = None
    load_times_sameness: float | None = None
    strength_days: int = 0
    stopped_for_pain: int = 0
    pains: tuple[PainLine, ...] = ()
    easy_movements: int = 0
    easy_minutes: float = 0

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
    sameness = monotony(daily) if complete else None
    return WeekReview(
        iso_week=week,
        sessions=len(in_week),
        minutes=_minutes(in_week),
        rounds_done=sum(rounds_done(record) for record in in_week),
        rounds_planned=sum(record.session.rounds() for record in in_week),
        patterns=_by_pattern(in_week),
        accessories=_accessories(in_week),
        session_load=sum(daily),
        sessions_without_effort=sum(load is None for _, load in loads),
        monotony=sameness,
        load_times_sameness=None if sameness is None else sum(daily) * sameness,
        strength_days=len({record.local_date for record in in_week if any(map(is_worked, record.sets))}),
        stopped_for_pain=sum(record.ending == "pain" for record in in_week),
        pains=tuple(
            PainLine(local_date=r.local_date, record_id=r.id, note=note)
            for r in all_in_week
            for note in r.pains
        ),
        easy_movements=len(easy),
        easy_minutes=_minutes(easy),
    )


def _minutes(records: Iterable[Record]) -> float:
    return sum(record.active_ms for record in records) / MS_PER_MIN


def monotony(daily_loads: Sequence[float]) -> float | None:
    """The mean of seven daily loads over their population standard deviation; None where that is 0.

    Rest days count as 0. Source: Foster 1998, MSSE 30:1164–1168; the population form is the one that
    reproduces Foster 2001, Table 5.
    """
    spread = pstdev(daily_loads)
    return None if spread == 0 else fmean(daily_loads) / spread


def rounds_done(record: Record) -> int:
    """The number of rounds in which every set was done to its end."""
    planned: dict[tuple[str, int], int] = {}
    for segment in record.session.segments:
        if segment.kind == "work" and segment.round is not None:
            key = (segment.block, segment.round)
            planned[key] = planned.get(key, 0) + 1
    finished = [(s.block, s.round) for s in record.sets if s.outcome is Outcome.done]
    return sum(finished.count(key) >= wanted for key, wanted in planned.items())


def _by_pattern(records: Iterable[Record]) -> tuple[PatternWeek, ...]:
    """The totals of each pattern; sets that train it indirectly count half and add no volume."""
    found: dict[MovementPattern, PatternWeek] = {}
    for done in _worked(records, accessory=False):
        for pattern, weight in ((done.pattern, DIRECT), *((also, INDIRECT) for also in done.also)):
            week = found.get(pattern, PatternWeek(pattern=pattern))
            found[pattern] = _with_set(week, done, weight)
    return tuple(found[pattern] for pattern in MovementPattern if pattern in found)


def _accessories(records: Iterable[Record]) -> Worked:
    sets = _worked(records, accessory=True)
    return reduce(lambda week, done: _with_set(week, done, DIRECT), sets, Worked())


def _worked(records: Iterable[Record], *, accessory: bool) -> Iterator[SetDone]:
    sets = (done for record in records for done in record.sets)
    return (done for done in sets if is_worked(done) and done.accessory == accessory)


def _with_set(week: Sum, done: SetDone, weight: float) -> Sum:
    """The totals with one set added; the two sides of a movement make one set together."""
    share = weight if done.side is Side.both else weight / 2
    added: dict[str, float] = {"sets": week.sets + share}
    if is_hard(done):
        added["hard_sets"] = week.hard_sets + share
    if weight == DIRECT:
        added |= _volume(week, done)
    return week.model_copy(update=added)


def _volume(week: Worked, done: SetDone) -> dict[str, int]:
    repetitions = repetitions_of(done) or 0
    load_g = (done.load_g or 0) * done.dumbbells
    return {
        "volume_g": week.volume_g + repetitions * load_g,
        "bodyweight_repetitions": week.bodyweight_repetitions + (0 if done.dumbbells else repetitions),
        "time_under_load_ms": week.time_under_load_ms + done.worked_ms,
    }
