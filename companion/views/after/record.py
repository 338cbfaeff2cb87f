"""One saved session, to be corrected; what was said first stays visible."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import day_words
from companion.views.after.log import FIRST_SAID, effort_input, hurt_list, sets_list
from companion.views.after.set_form import said_words
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.field import field
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import section, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role
from companion.words.lines import line_text
from companion.words.saying import msgid, said, say
from engine.coach.figures import session_line, session_more
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
from engine.record.amendment import AmendedField
from engine.record.record import SetDone
from engine.record.sets import hurt_sets

if TYPE_CHECKING:
    from companion.actions.after.record import Record
    from companion.actions.go import Go
    from companion.state.app import State
    from companion.state.week import OpenedRecord


LATER = {
    AmendedField.effort: msgid("{day}, {clock}: effort"),
    AmendedField.note: msgid("{day}, {clock}: note"),
    AmendedField.next_morning_pain: msgid("{day}, {clock}: pain the next morning"),
    AmendedField.soreness: msgid("{day}, {clock}: sore muscles"),
    AmendedField.set: msgid("{day}, {clock}: a set"),
}


@safe_component
def record_screen(state: State, do: Record, _: Go) -> ft.Control:
    opened, unit = state.week.open_record, state.home.unit
    open_set, set_open_set = ft.use_state("")
    report = report_of(opened.saved, opened.amendments, PageChoice())
    saved = opened.corrected
    names = {i.chosen.movement: i.chosen.name for block in saved.session.blocks for i in block.items}
    sets = sets_list(
        _as_corrected(opened),
        saved.session,
        hurt=hurt_sets(saved.pains, saved.by_id),
        opened=open_set,
        on_open=set_open_set,
        on_change=do.correct_set,
        unit=unit,
        rack=state.home.rack,
        first_said=_first_said(opened),
    )
    return page_frame(
        [
            words(line_text(session_line(report))),
            *(words(said(more), colour=Role.INK_SOFT) for more in session_more(report)),
            *hurt_list(report.sore, report.pains, names),
            columns(_whole_session(opened, do), sets),
        ],
        title=day_words(opened.saved.local_date),
        wide=True,
        actions=[
            quiet_button(say("Leave as it is"), bound(do.close), tall=True, expand=True),
            primary_button(say("Save corrections"), bound(do.save), expand=True),
        ],
    )


def _whole_session(opened: OpenedRecord, do: Record) -> list[ft.Control]:
    """What was said of the session as a whole, and when it was corrected."""
    return [
        effort_input(opened.saved.session, opened.effort, do.correct_effort),
        *_first(_effort(opened.saved.effort), _effort(opened.effort)),
        field(say("A word to your coach"), opened.note, do.correct_note, lines=3, key=opened.saved.id),
        *_first(opened.saved.note, opened.corrected.note),
        *_history(opened),
    ]


def _as_corrected(opened: OpenedRecord) -> list[SetDone]:
    """The sets with every correction, those being made included."""
    return [
        done.model_copy(update=dict(opened.sets.get(done.key, done.answer))) for done in opened.corrected.sets
    ]


def _first(said: str, now: str) -> list[ft.Control]:
    """What was said first, if something else is said now."""
    if said == now:
        return []
    first = say(FIRST_SAID, said=said) if said else say("First said: nothing.")
    return [words(first, colour=Role.INK_SOFT)]


def _effort(effort: float | None) -> str:
    return "" if effort is None else say("effort {effort}", effort=effort)


def _first_said(opened: OpenedRecord) -> dict[str, str]:
    """What was first said of each set, by key, if something else is said now."""
    saved = {done.key: done.answer for done in opened.saved.sets}
    now = {done.key: done.answer for done in opened.corrected.sets} | opened.sets
    dumbbells = {done.key: done.dumbbells for done in opened.saved.sets}
    return {key: said_words(saved[key], dumbbells[key]) for key, said in now.items() if said != saved[key]}


def _history(opened: OpenedRecord) -> list[ft.Control]:
    """When something was corrected or answered later."""
    lines = [
        words(say(LATER[one.field], day=one.at.date(), clock=one.at.time()), colour=Role.INK_SOFT)
        for one in opened.amendments
    ]
    return section(say("Corrected or answered later"), lines)
