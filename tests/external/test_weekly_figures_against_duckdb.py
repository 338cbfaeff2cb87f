"""The exported lines, loaded by DuckDB with one command, give the engine's weekly figures."""

from __future__ import annotations

from pathlib import Path

import duckdb
import pytest
from lines_in_duckdb import duckdb_figures, engine_figures, load, mismatched, write_lines
from three_years import sessions

PEOPLE, WEEKS = 4, 24


@pytest.fixture(scope="module")
def lines(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lines") / "records.jsonl"
    for number in range(PEOPLE):
        write_lines(path, number, sessions(number, weeks=WEEKS))
    return path


def test_sessions_minutes_and_volume_of_each_week_are_those_of_the_engine(lines: Path) -> None:
    """Judge: DuckDB. Volume load is repetitions × load, a pair counted twice (common practice, no source)."""
    records = [one.record for number in range(PEOPLE) for one in sessions(number, weeks=WEEKS)]
    ours = engine_figures(records)
    with duckdb.connect() as connection:
        load(connection, lines)
        assert mismatched(ours, duckdb_figures(connection)) == 0
    assert len(ours) > PEOPLE * WEEKS // 2
    assert sum(volume > 0 for _, _, volume in ours.values()) > len(ours) // 2


def test_a_figure_that_differs_is_noticed(lines: Path) -> None:
    records = [one.record for number in range(PEOPLE) for one in sessions(number, weeks=WEEKS)]
    key = (records[0].trainee_id, "2023-W01")
    ours = engine_figures(records)
    done, minutes, volume_g = ours[key]
    for wrong in (
        (done + 1, minutes, volume_g),
        (done, minutes + 1, volume_g),
        (done, minutes, volume_g + 1),
    ):
        assert mismatched(ours, ours | {key: wrong}) == 1
    assert mismatched(ours, {week: found for week, found in ours.items() if week != key}) == 1
