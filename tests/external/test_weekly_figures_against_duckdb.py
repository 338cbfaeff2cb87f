"""DuckDB loads the exported lines with one command and gets the engine's weekly figures."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import duckdb
import pytest
from lines_in_duckdb import Figures, duckdb_figures, engine_figures, load, mismatched, write_lines
from pages import painful_record
from places import ROOT
from three_years import sessions

from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
from engine.record.amendment import Amendment
from engine.record.record import LimitedBy
from storage.exchange.coach_page import session_line
from storage.exchange.duckdb_columns import loading_sql

PEOPLE, WEEKS = 4, 24
README = ROOT / "README.md"


@pytest.fixture(scope="module")
def lines(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lines") / "records.jsonl"
    for number in range(PEOPLE):
        write_lines(path, number, sessions(number, weeks=WEEKS))
    return path


def test_the_figures_of_each_week_are_those_of_the_engine(lines: Path) -> None:
    """Judge: DuckDB. Volume load is repetitions × load; a pair counts twice (common practice, no source)."""
    records = [one.record for number in range(PEOPLE) for one in sessions(number, weeks=WEEKS)]
    ours = engine_figures(records)
    with duckdb.connect() as connection:
        load(connection, lines)
        assert mismatched(ours, duckdb_figures(connection)) == 0
    assert len(ours) > PEOPLE * WEEKS // 2
    assert sum(week.volume_g > 0 for week in ours.values()) > len(ours) // 2
    for counted in Figures._fields:
        assert any(getattr(week, counted) for week in ours.values()), counted


def test_the_commands_of_the_readme_load_the_lines_and_give_sessions_and_minutes_by_week(
    lines: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    loads = re.search(r"^duckdb (\S+) < (\S+)$", README.read_text("utf-8"), re.MULTILINE)
    asks = re.search(r'^duckdb (\S+) -c "(.*)"$', README.read_text("utf-8"), re.MULTILINE)
    assert loads is not None
    assert asks is not None
    assert loads[1] == asks[1]
    monkeypatch.chdir(lines.parent)
    Path(loads[2]).write_text(loading_sql(lines.name), "utf-8")
    with duckdb.connect(loads[1]) as connection:
        connection.execute(Path(loads[2]).read_text("utf-8"))
        rows = connection.execute(asks[2]).fetchall()
    ours = engine_figures(one.record for number in range(PEOPLE) for one in sessions(number, weeks=WEEKS))
    assert {(str(whose), week): done for whose, week, done, _ in rows} == {
        k: of.sessions for k, of in ours.items()
    }
    assert sum(minutes for *_, minutes in rows) == pytest.approx(sum(week.minutes for week in ours.values()))


def test_all_that_a_line_says_is_in_the_table_also_where_the_lines_before_said_nothing(
    lines: Path, tmp_path: Path
) -> None:
    """If DuckDB guesses types from the first lines, a field that is empty there loses later values."""
    telling = painful_record()
    first = telling.sets[0].model_copy(update={"limited_by": LimitedBy.grip, "repetitions": 7})
    telling = telling.model_copy(update={"sets": (first, *telling.sets[1:]), "effort": 7.5})
    answer = Amendment(id="a", record_id=telling.id, at=telling.started_at, field="note", value="It's “so”.")
    last = session_line("it's me", report_of(telling, (answer,), PageChoice()))
    path = tmp_path / "it's.jsonl"
    path.write_text(lines.read_text("utf-8") + last + "\n", "utf-8")
    with duckdb.connect() as connection:
        load(connection, path)
        (found,) = connection.execute(
            "SELECT to_json(records) FROM records WHERE trainee_id = 'it''s me'"
        ).fetchone() or ("",)
    assert _instants_apart(json.loads(found)) == _instants_apart(json.loads(last))


def _instants_apart(value: Any) -> Any:
    """The same value with instants parsed, because they may be written in several ways."""
    if isinstance(value, dict):
        return {
            key: datetime.fromisoformat(f"{one}{'00' if re.search(r'[+-][0-9]{2}$', one) else ''}")
            if key in ("started_at", "at")
            else _instants_apart(one)
            for key, one in value.items()
        }
    return [_instants_apart(one) for one in value] if isinstance(value, list) else value


def test_a_figure_that_differs_is_noticed(lines: Path) -> None:
    records = [one.record for number in range(PEOPLE) for one in sessions(number, weeks=WEEKS)]
    key = (records[0].trainee_id, "2023-W01")
    ours = engine_figures(records)
    for field, value in ours[key]._asdict().items():
        assert mismatched(ours, ours | {key: ours[key]._replace(**{field: value + 1})}) == 1, field
    assert mismatched(ours, {week: found for week, found in ours.items() if week != key}) == 1
