"""The week: pain first, then what was done against what was planned, by movement pattern."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.text import day_words, joint_word, pattern_word
from companion.views.buttons import bound
from companion.views.frame import columns, page_frame
from companion.views.parts import group, notice, primary_button, quiet_button, section_title, words
from companion.views.safe import safe_component
from companion.views.theme import Role, Space, Type
from engine.record import Record
from engine.review import PainLine, PatternWeek, WeekReview, week_before
from engine.units import LoadUnit, format_duration, format_load

if TYPE_CHECKING:
    from companion.actions import Actions
    from companion.state import State

NO_SESSION = "No session in this week."
BAR_PX = 12
WEEKS_BEFORE = 4


@safe_component
def week_screen(state: State, do: Actions) -> ft.Control:
    found = next((week for week in state.weeks if week.iso_week == state.week), None)
    review = found or WeekReview(iso_week=state.week)
    unit = state.profile.unit if state.profile else LoadUnit.kg
    return page_frame(
        [
            *([notice("note", state.said, announce=True)] if state.said else []),
            ft.Row(
                [
                    quiet_button("Week before", bound(do.step_week, -1), expand=True),
                    quiet_button("Week after", bound(do.step_week, 1), expand=True),
                ]
            ),
            *_pain(review.pains),
            columns(
                [
                    *(_figures(review) if review.sessions else [words(NO_SESSION, size=Type.LEAD)]),
                    *_patterns(review, unit),
                ],
                [*_sessions(state.records), *_earlier(state.weeks, state.week)],
            ),
        ],
        wide=True,
        title=f"Week {state.week[-2:].lstrip('0')}, {state.week[:4]}",
        actions=[primary_button("Next session", bound(do.show_setup), expand=True)],
    )


def _pain(pains: tuple[PainLine, ...]) -> list[ft.Control]:
    return [notice("caution", pain_words(line)) for line in pains]


def pain_words(line: PainLine) -> str:
    """“Tuesday 3 March, goblet squat: left knee, 4.”"""
    note = line.note
    kind = note.kind.replace("_", " ") if note.kind else "something hurt"
    where = joint_word(note.joint, note.side) if note.joint else kind
    during = f", {note.movement.replace('-', ' ')}" if note.movement else ""
    number = "" if note.rating is None else f", {note.rating}"
    return f"{day_words(line.local_date)}{during}: {where}{number}."


def _figures(review: WeekReview) -> list[ft.Control]:
    sessions = _sessions_words(review)
    days = f"{review.strength_days} strength day{'s' if review.strength_days != 1 else ''}"
    lines: list[ft.Control] = [
        words(f"{sessions}, {_minutes(review)}", size=Type.TITLE, strong=True),
        words(f"{review.rounds_done} of {review.rounds_planned} rounds done, {days}", size=Type.LEAD),
    ]
    if review.session_load:
        lines.append(words(f"Session load {round(review.session_load)} (effort × minutes)"))
    return [ft.Column(lines, spacing=Space.XS)]


def _sessions_words(review: WeekReview) -> str:
    return f"{review.sessions} session{'s' if review.sessions != 1 else ''}"


def _minutes(review: WeekReview) -> str:
    minutes = round(review.minutes)
    return f"{minutes} minute{'s' if minutes != 1 else ''}"


def _patterns(review: WeekReview, unit: LoadUnit) -> list[ft.Control]:
    if not review.patterns:
        return []
    most = max(pattern.sets for pattern in review.patterns)
    rows: list[ft.Control] = [_pattern_row(pattern, most, unit) for pattern in review.patterns]
    return [group(section_title("By movement pattern", detail="sets"), *rows)]


def _pattern_row(pattern: PatternWeek, most: float, unit: LoadUnit) -> ft.Control:
    volume = format_load(pattern.volume_g, unit) if pattern.volume_g else ""
    body = f"{pattern.bodyweight_repetitions} bodyweight" if pattern.bodyweight_repetitions else ""
    sets = f"{pattern.sets:g} set{'s' if pattern.sets != 1 else ''}"
    detail = ", ".join(part for part in (sets, volume, body) if part)
    share = max(1, round(100 * pattern.sets / most))
    bar = ft.Row(
        [
            ft.Container(height=BAR_PX, bgcolor=Role.WORK, expand=share),
            *([ft.Container(height=BAR_PX, expand=100 - share)] if share < 100 else []),
        ],
        spacing=0,
    )
    return ft.Column([words(f"{pattern_word(pattern.pattern)}: {detail}"), bar], spacing=Space.XS)


def _sessions(records: tuple[Record, ...]) -> list[ft.Control]:
    if not records:
        return []
    lines: list[ft.Control] = [words(record_words(record)) for record in records]
    return [group(section_title("Sessions"), *lines)]


def record_words(record: Record) -> str:
    effort = f", effort {record.effort:g}" if record.effort is not None else ""
    ending = {"finished": "", "early": ", ended early", "pain": ", stopped for pain"}[record.ending]
    length = format_duration(record.active_ms)
    return f"{day_words(record.local_date)}: {record.session.plan_name}, {length}{effort}{ending}."


def _earlier(weeks: tuple[WeekReview, ...], week: str) -> list[ft.Control]:
    """The four weeks before, in one line each."""
    by_week = {review.iso_week: review for review in weeks}
    before = [week_before(week, back) for back in range(1, WEEKS_BEFORE + 1)]
    held = [by_week[one] for one in before if one in by_week]
    if not held:
        return []
    lines: list[ft.Control] = [
        words(f"Week {r.iso_week[-2:].lstrip('0')}: {_sessions_words(r)}, {_minutes(r)}") for r in held
    ]
    return [group(section_title("The weeks before"), *lines)]
