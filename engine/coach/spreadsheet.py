"""Sessions and sets as CSV tables for a spreadsheet: RFC 4180, a header line, units in the column names.

A spreadsheet runs a cell that begins like a formula. An apostrophe in front tells it that the cell is text
(OWASP, CSV Injection). Where a comma stands in decimals, a spreadsheet may split lines at semicolons, or at
tabs, and then takes no notice of quotes within a line: so the apostrophe stands wherever such a cell would
begin.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping

from engine.base.periods import iso_week
from engine.base.units import MS_PER_MIN, LoadUnit, load_in, seconds
from engine.coach.pain_lines import next_morning
from engine.coach.session_report import MovementReport, SessionReport
from engine.coach.trend import GIVE_TIME
from engine.record.record import SetDone
from engine.record.sets import held_s_of, repetitions_of

STARTS_A_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r")
_WITHIN = re.compile(r"([;,|\t\r\n][\s\"']*)(?=[=+\-@＝＋－＠])")
"""The end of one cell and the beginning of a formula, for whoever splits a text there."""

Row = Mapping[str, object]


def sets_csv(sessions: Iterable[SessionReport], unit: LoadUnit = LoadUnit.kg) -> str:
    """A table with one line for each set. The load is that of one dumbbell; repetitions that nobody counted
    are predicted from the tempo, and a hold has seconds instead."""
    return _csv(
        _set_row(session, of_one, done, unit)
        for session in sessions
        for of_one in session.movements
        for done in of_one.sets_done()
    )


def sessions_csv(sessions: Iterable[SessionReport], unit: LoadUnit = LoadUnit.kg) -> str:
    """A table with one line for each session, and one that says so for each easy movement. The volume is
    repetitions × load of all sets, a pair counted twice."""
    return _csv(_session_row(session, unit) for session in sessions)


def _csv(rows: Iterable[Row]) -> str:
    written = io.StringIO(newline="")
    table = csv.writer(written)
    for number, row in enumerate(rows):
        if number == 0:
            table.writerow(row)
        table.writerow([_cell(value) for value in row.values()])
    return written.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, str):
        return value
    text = _WITHIN.sub(r"\1'", value)
    return f"'{text}" if text.lstrip(' "').startswith(STARTS_A_FORMULA) else text


def _session_columns(session: SessionReport) -> dict[str, object]:
    return {
        "record_id": session.record_id,
        "date": session.local_date.isoformat(),
        "iso_week": iso_week(session.local_date),
        "plan": session.plan_name,
    }


def _set_row(session: SessionReport, of_one: MovementReport, done: SetDone, unit: LoadUnit) -> Row:
    return _session_columns(session) | {
        "block": done.block,
        "round": done.round,
        "place": done.place,
        "movement": of_one.name,
        "variant": of_one.variant_name,
        "pattern": done.pattern.value,
        "side": done.side.value,
        "tempo": done.tempo,
        "planned_s": seconds(done.planned_ms),
        "worked_s": seconds(done.worked_ms),
        "outcome": done.outcome.value,
        "dumbbells": done.dumbbells,
        f"load_{unit}": None if done.load_g is None else load_in(done.load_g, unit),
        "held_s": held_s_of(done),
        "repetitions": repetitions_of(done),
        "repetitions_counted": done.repetitions is not None,
        "effort_0_to_10": done.effort,
        "form_held": done.form_held,
        "range_kept": done.range_kept,
        "easier_variant": done.easier_variant,
        "limited_by": done.limited_by and done.limited_by.value,
    }


def _session_row(session: SessionReport, unit: LoadUnit) -> Row:
    return _session_columns(session) | {
        "started_at": session.started_at.isoformat(),
        "easy_movement": session.easy_movement,
        "kit": session.kit.value,
        "asked_min": session.minutes,
        "active_min": round(session.active_ms / MS_PER_MIN, 2),
        "rounds_done": sum(session.rounds_done),
        "rounds_planned": sum(session.rounds_planned),
        "ending": session.ending.value,
        f"volume_{unit}": load_in(session.volume_g, unit),
        "effort_0_to_10": session.effort,
        **{f"highest_pain_{when}_0_to_10": highest for when, highest in _highest_pains(session)},
        "given_up_s": sum(one.seconds for one in session.reasons if one.code in GIVE_TIME),
        "note": session.note,
    }


def _highest_pains(session: SessionReport) -> Iterator[tuple[str, int | None]]:
    """The highest number said before the session, in it and the next morning; None where none was said.
    Sore muscles are no pain."""
    in_session = (note.rating for note in session.pains if note.rating is not None)
    yield "before", max((one.rating for one in session.sore), default=None)
    yield "in_session", max(in_session, default=None)
    yield "next_morning", max(next_morning(session).joints.values(), default=None)
