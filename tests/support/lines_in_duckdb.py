"""DuckDB as a judge: weekly figures from exported lines, without any code of ours."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

import duckdb
from three_years import Session, person

from engine.base.periods import iso_week
from engine.base.units import MS_PER_MIN
from engine.record.record import Record
from engine.record.week import review_week
from storage.exchange.coach_page import session_line
from storage.exchange.duckdb_columns import loading_sql

FIGURES = """
WITH sets AS (
    SELECT trainee_id, iso_week, record_id, movement.block AS block, movement.movement AS movement,
        movement.dumbbells AS dumbbells, movement.is_hold AS is_hold, unnest(movement.sets) AS done
    FROM (SELECT trainee_id, iso_week, record_id, unnest(movements) AS movement FROM records)
), counted AS (
    SELECT *, CASE WHEN is_hold THEN 0 ELSE coalesce(done.repetitions, done.planned_repetitions, 0) END
        AS repetitions
    FROM sets
), volumes AS (
    SELECT trainee_id, iso_week,
        sum(repetitions * coalesce(done.load_g, 0) * dumbbells) AS volume_g,
        coalesce(sum(repetitions) FILTER (dumbbells = 0 OR done.load_g = 0), 0) AS without_a_weight
    FROM counted GROUP BY ALL
), worked AS (
    SELECT trainee_id, iso_week, record_id,
        list_sort(list_distinct(list(done.side) FILTER (done.outcome = 'done'))) AS whole_sides,
        max(done.effort) AS effort
    FROM counted
    WHERE done.worked_ms > 0 AND done.outcome <> 'skipped'
        AND CASE WHEN is_hold THEN coalesce(done.held_s, 1) > 0
            ELSE coalesce(done.repetitions, done.planned_repetitions, 1) > 0 END
    GROUP BY trainee_id, iso_week, record_id, block, movement, done.round, done.place
), whole AS (
    SELECT trainee_id, iso_week,
        count(*) FILTER (whole_sides IN (['both'], ['left', 'right'])) AS sets,
        count(*) FILTER (whole_sides IN (['both'], ['left', 'right']) AND effort IS NOT NULL) AS rated_sets,
        count(*) FILTER (whole_sides IN (['both'], ['left', 'right']) AND effort >= 6) AS hard_sets,
        count(*) FILTER (NOT coalesce(whole_sides, []) IN (['both'], ['left', 'right'])) AS stopped_sets
    FROM worked GROUP BY ALL
), weeks AS (
    SELECT trainee_id, iso_week, count(*) AS sessions, sum(active_ms) / 60000 AS minutes,
        count(*) FILTER (effort IS NULL) AS without_effort,
        coalesce(sum(2 * effort * active_ms), 0) AS session_load_half_ms
    FROM records GROUP BY ALL
)
SELECT trainee_id, iso_week, minutes, sessions, without_effort, session_load_half_ms,
    coalesce(volume_g, 0), coalesce(without_a_weight, 0),
    coalesce(sets, 0), coalesce(rated_sets, 0), coalesce(hard_sets, 0), coalesce(stopped_sets, 0)
FROM weeks LEFT JOIN volumes USING (trainee_id, iso_week) LEFT JOIN whole USING (trainee_id, iso_week)
"""
"""By person and ISO week: the fields of ``Figures``. A set is done to its end on both sides, or on both at
once; at effort 6 it leaves 4 or fewer."""


class Figures(NamedTuple):
    """One week. ``volume_g`` is repetitions × grams with a pair counted twice, ``session_load_half_ms`` the
    sum of effort × milliseconds, in halves, without the sessions ``without_effort``."""

    minutes: float
    sessions: int
    without_effort: int
    session_load_half_ms: int
    volume_g: int
    without_a_weight: int
    sets: int
    rated_sets: int
    hard_sets: int
    stopped_sets: int


ByWeek = dict[tuple[str, str], Figures]


def write_lines(path: Path, number: int, sessions: Iterable[Session]) -> None:
    """Adds one person's sessions to a file of lines."""
    with path.open("a", encoding="utf-8") as file:
        file.writelines(session_line(person(number).trainee_id, one.report) + "\n" for one in sessions)


def load(connection: duckdb.DuckDBPyConnection, path: Path) -> None:
    connection.execute(loading_sql(str(path)))


def duckdb_figures(connection: duckdb.DuckDBPyConnection) -> ByWeek:
    rows = connection.execute(FIGURES).fetchall()
    return {(str(whose), week): Figures(minutes, *map(int, counts)) for whose, week, minutes, *counts in rows}


def engine_figures(records: Iterable[Record]) -> ByWeek:
    by_week: dict[tuple[str, str], list[Record]] = {}
    for record in records:
        by_week.setdefault((record.trainee_id, iso_week(record.local_date)), []).append(record)
    return {key: _figures(held, key[1]) for key, held in by_week.items()}


def _figures(records: list[Record], week: str) -> Figures:
    review = review_week(records, week)
    worked = (*review.patterns, review.accessories)
    return Figures(
        minutes=review.minutes,
        sessions=review.sessions,
        without_effort=review.sessions_without_effort,
        session_load_half_ms=round(2 * review.session_load * MS_PER_MIN),
        volume_g=review.volume_g,
        without_a_weight=sum(one.bodyweight_repetitions for one in worked),
        sets=sum(one.sets for one in worked),
        rated_sets=sum(one.rated_sets for one in worked),
        hard_sets=sum(one.hard_sets for one in worked),
        stopped_sets=sum(one.stopped_sets for one in worked),
    )


def mismatched(one: ByWeek, other: ByWeek) -> int:
    """Counts weeks that only one side has, or whose figures differ (minutes: by over a millisecond)."""
    tolerance_min = 1 / 60_000
    return sum(
        key not in one
        or key not in other
        or one[key][1:] != other[key][1:]
        or abs(one[key].minutes - other[key].minutes) > tolerance_min
        for key in one.keys() | other.keys()
    )
