"""The exported lines, loaded by DuckDB with one command, give the engine's weekly figures."""

from __future__ import annotations

import re
from pathlib import Path

import duckdb
import pytest
from lines_in_duckdb import duckdb_figures, engine_figures, load, mismatched, write_lines
from three_years import sessions

PEOPLE, WEEKS = 4, 24
README = Path(__file__).resolve().parents[2] / "README.md"


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


def test_the_command_of_the_readme_gives_sessions_and_minutes_by_week(
    lines: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written = re.search(r'^duckdb -c "(.*)"$', README.read_text("utf-8"), re.MULTILINE)
    assert written is not None
    monkeypatch.chdir(lines.parent)
    with duckdb.connect() as connection:
        rows = connection.execute(written[1]).fetchall()
    ours = engine_figures(one.record for number in range(PEOPLE) for one in sessions(number, weeks=WEEKS))
    assert {(str(whose), week): done for whose, week, done, _ in rows} == {k: of[0] for k, of in ours.items()}
    assert sum(minutes for *_, minutes in rows) == pytest.approx(
        sum(minutes for _, minutes, _ in ours.values())
    )


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
