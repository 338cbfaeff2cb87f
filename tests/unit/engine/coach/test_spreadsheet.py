"""Tables for a spreadsheet, read back by the csv module as RFC 4180 describes them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

import pytest
from builders import movement, pain, plan, record, session, short_session, work
from pages import late_answers, painful_record, without
from reasons_said import below_minimum, practice_cut, rest_cut

from engine.base.units import LoadUnit
from engine.coach.session_report import SessionReport, report_of
from engine.coach.spreadsheet import sessions_csv, sets_csv
from engine.coach.trend import given_up_most
from engine.coach.withheld import PageChoice
from engine.movements.movement import Kit
from engine.record.amendment import AmendedField, Amendment
from engine.record.record import Record

LOAD = {"one-hand-press": 8_000}

Table = list[dict[str, str]]


def reports(*records: Record) -> tuple[SessionReport, ...]:
    return tuple(report_of(one, late_answers(), PageChoice()) for one in records)


def read(text: str) -> Table:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def column(table: Table, name: str) -> Iterable[str]:
    return [line[name] for line in table]


def test_there_is_a_line_for_each_set_with_units_in_the_names() -> None:
    table = read(sets_csv(reports(record(loads_g={"one-hand-press": 8_000}))))
    assert column(table, "side") == ["left", "right", "left", "right"]
    assert column(table, "load_kg") == ["8"] * 4
    assert column(table, "planned_s") == ["30"] * 4
    assert column(table, "iso_week") == ["2026-W10"] * 4
    assert column(table, "repetitions") == ["7"] * 4
    assert column(table, "repetitions_counted") == ["no"] * 4


def test_there_is_a_line_for_each_session_as_corrected() -> None:
    (line,) = read(sessions_csv(reports(painful_record())))
    assert (line["ending"], line["effort_0_to_10"]) == ("pain", "6.0")
    assert (line["volume_kg"], line["note"]) == ("32", "An easy day after all.")


def test_the_volume_counts_every_set_with_a_pair_twice_and_a_weight_nobody_said_as_none() -> None:
    """4 sets of 7 repetitions with one weight, 2 of 15 with two."""
    pair = short_session(kit=Kit.pair)
    said = [record(loads_g=LOAD), record(pair, loads_g=LOAD), record()]
    volumes = [one.volume_g for one in reports(*said)]
    assert volumes == [4 * 7 * 8_000, 2 * 15 * 2 * 8_000, 0]


def test_a_hold_with_a_weight_has_no_repetitions_and_so_no_volume() -> None:
    hold = movement("held-carry", starts_with="hold")
    made = session(plan(work(hold.slug), movements=(hold,)))
    (report,) = reports(record(made, loads_g={hold.slug: 8_000}))
    assert {done.load_g for of_one in report.movements for done in of_one.sets} == {8_000}
    assert report.volume_g == 0


PAINS = [f"highest_pain_{when}_0_to_10" for when in ("before", "in_session", "next_morning")]


def test_pain_before_in_and_after_a_session_has_a_column_each() -> None:
    """Fitted around a knee at 2, an elbow at 5 on the way and at 3 in the morning; muscles are no joint."""
    (line,) = read(sessions_csv(reports(painful_record())))
    assert [line[name] for name in PAINS] == ["2", "5", "3"]


def test_a_pain_of_0_that_was_said_is_a_0_and_what_was_not_said_is_empty() -> None:
    said = painful_record().model_copy(update={"pains": (pain(rating=0),)})
    morning = Amendment(
        id="m",
        record_id=said.id,
        at=said.started_at,
        field=AmendedField.next_morning_pain,
        value={"joint": "elbow", "side": "left", "rating": 0},
    )
    table = read(sessions_csv([report_of(said, (morning,), PageChoice()), *reports(record(record_id="x"))]))
    assert [line[name] for line in table for name in PAINS] == ["2", "0", "0", "", "", ""]
    (kept_back,) = read(sessions_csv([report_of(said, (morning,), without("pain"))]))
    assert [kept_back[name] for name in PAINS] == ["", "", ""]


def test_the_seconds_that_are_missing_are_not_given_up() -> None:
    """As the page says it: what the minimum lacks was never there to give up."""
    reasons = (rest_cut(80), practice_cut(185), below_minimum(301))
    told = reports(record(short_session().model_copy(update={"reasons": reasons})))
    (line,) = read(sessions_csv(told))
    assert float(line["given_up_s"]) == 265 == sum(one.seconds for one in given_up_most(told))


def test_loads_are_in_pounds_where_the_person_counts_in_pounds() -> None:
    """1 lb = 453.59237 g: International Yard and Pound Agreement, 1959."""
    table = read(sets_csv(reports(record(loads_g={"one-hand-press": 453_592})), LoadUnit.lb))
    assert float(table[0]["load_lb"]) == pytest.approx(1_000, abs=0.001)


def test_lines_end_as_the_standard_says_and_commas_quotes_and_line_breaks_stay_in_their_cell() -> None:
    """RFC 4180, 2.1 and 2.5–2.7."""
    text = sessions_csv(reports(record(note='One, "two"\r\nand three')))
    assert text.endswith("\r\n")
    assert read(text)[0]["note"] == 'One, "two"\r\nand three'


@pytest.mark.parametrize("note", ["=1+1", "+1", "-1", "@SUM(A1)", "＝1", '=HYPERLINK("x")', ' "=1"'])
def test_a_note_that_looks_like_a_formula_is_written_as_text(note: str) -> None:
    """OWASP, CSV Injection (from memory): these first characters start a formula."""
    assert read(sessions_csv(reports(record(note=note))))[0]["note"] == f"'{note}"


STARTERS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_no_cell_is_a_formula_whatever_a_spreadsheet_splits_lines_at(separator: str) -> None:
    """A note “fine;=…” was a cell of its own for whoever reads the table with semicolons."""
    hostile = 'fine;=1+1,-2\t+3|@4;"=5" ; =6\r\n=7\n\t"+8;\'=9;＝10\r=11'
    noted = record(note=hostile)
    noted = noted.model_copy(update={"session": noted.session.model_copy(update={"plan_name": hostile})})
    for text in (sessions_csv(reports(noted)), sets_csv(reports(noted))):
        for lines in (text, text.replace('"', "")):
            for cells in csv.reader(io.StringIO(lines, newline=""), delimiter=separator):
                assert [cell for cell in cells if cell.strip(' "\t\r\n').startswith(STARTERS)] == []
    (line,) = read(sessions_csv(reports(record(note="2-3 sets, 4 - 5 min; fine"))))
    assert line["note"] == "2-3 sets, 4 - 5 min; fine", "an honest note stays as it is"


def test_no_session_makes_an_empty_table() -> None:
    assert sets_csv(()) == sessions_csv(()) == ""
