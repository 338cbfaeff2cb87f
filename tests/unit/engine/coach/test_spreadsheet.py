"""Tables for a spreadsheet, read back by the csv module as RFC 4180 describes them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

import pytest
from builders import record, short_session
from pages import late_answers, painful_record

from engine.base.units import LoadUnit
from engine.coach.session_report import SessionReport, report_of
from engine.coach.spreadsheet import sessions_csv, sets_csv
from engine.coach.trend import given_up_most
from engine.coach.withheld import PageChoice
from engine.record.record import Record
from engine.session.fitted import Reason

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
    assert (line["ending"], line["effort_0_to_10"], line["highest_pain_0_to_10"]) == ("pain", "6.0", "5")
    assert (line["volume_kg"], line["note"]) == ("32", "An easy day after all.")


def test_the_seconds_that_are_missing_are_not_given_up() -> None:
    """As the page says it: what the minimum lacks was never there to give up."""
    reasons = (
        Reason(code="rest", text="The rest is brought down to 15 s.", seconds=80),
        Reason(code="practice", text="Practice is skipped.", seconds=185),
        Reason(code="below_minimum", text="The rounds fall short.", seconds=301),
    )
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


@pytest.mark.parametrize("note", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", '=HYPERLINK("x")'])
def test_a_note_that_looks_like_a_formula_is_written_as_text(note: str) -> None:
    """OWASP, CSV Injection (from memory): these first characters start a formula."""
    assert read(sessions_csv(reports(record(note=note))))[0]["note"] == f"'{note}"


def test_no_session_makes_an_empty_table() -> None:
    assert sets_csv(()) == sessions_csv(()) == ""
