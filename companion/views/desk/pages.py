"""The pages received: everybody line by line, pain and stops first, or one person in detail."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, rule, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space
from companion.views.desk.answer import answer_part
from companion.words.lines import in_unit, line_text
from companion.words.saying import msgid, said, say
from companion.words.words import Words
from engine.coach import figures
from engine.coach.line import Line
from engine.coach.roster import Person, copies, head, in_short, left_out_after_pain, of_session, pain, trends
from engine.coach.session_report import SessionReport

if TYPE_CHECKING:
    from companion.actions.desk.pages import Pages
    from companion.actions.go import Go
    from companion.state.app import State


TITLE = msgid("Pages received")
NOTHING = msgid(
    "Pick the pages that people sent you, or drop them on this window, as many at once as you like. They are "
    "read here and not saved."
)
STOPPED = msgid("Stopped for pain")
HURTS = msgid("Pain")


@safe_component
def pages_screen(state: State, do: Pages, go: Go) -> ft.Control:
    person = state.pages.person
    return _roster(state, do, go) if person is None else _detail(person, state, do)


def _roster(state: State, do: Pages, go: Go) -> ft.Control:
    people = state.pages.people
    clear = [quiet_button(say("Clear the list"), do.clear, tall=True)] if people else []
    return page_frame(
        [
            *_refused(state),
            *([] if people else [words(say(NOTHING))]),
            *(_person(one, do) for one in people),
        ],
        title=say(TITLE),
        on_back=bound(go.plans),
        actions=[*clear, primary_button(say("Pick pages"), do.take, expand=True)],
    )


def _refused(state: State) -> list[ft.Control]:
    refused = [say("{file}: {fault}", file=name, fault=why) for name, why in state.pages.refused]
    return [notice("caution", "\n".join(refused), title=say("Not read"), announce=True)] if refused else []


def _flag(person: Person) -> str | None:
    return say(STOPPED) if person.stopped else say(HURTS) if person.hurts else None


def _person(person: Person, do: Pages) -> ft.Control:
    """One person line by line, pain first, with what became of further copies of the page."""
    return group(
        section_title(said(head(person)), detail=_flag(person)),
        *_lines(person, in_short(person)),
        *_copies(person),
        ft.Row([_open(person, do)]),
    )


def _open(person: Person, do: Pages) -> ft.Control:
    name = say("Open {person}", person=person.name)
    return quiet_button(say("Open"), bound(do.open_person, person.trainee_id), name=name)


def _lines(person: Person, told: Iterable[Line]) -> list[ft.Control]:
    """A row for each line; what hurts is strong."""
    pains = [*left_out_after_pain(person), *pain(person)]
    return [words(line_text(one, in_unit(person.unit)), strong=one in pains) for one in told]


def _copies(person: Person) -> list[ft.Control]:
    return [words(said(one), colour=Role.INK_SOFT) for one in copies(person)]


def _detail(person: Person, state: State, do: Pages) -> ft.Control:
    told = group(
        section_title(said(head(person)), detail=_flag(person)),
        *_lines(person, (*in_short(person), *trends(person))),
        *_copies(person),
    )
    return page_frame(
        [
            columns(
                [told, group(section_title(say("Session by session")), *_sessions(person))],
                [*answer_part(person, state, do.answer)],
            )
        ],
        title=person.name,
        on_back=do.close_person,
        wide=True,
        top_at=person.trainee_id,
    )


def _sessions(person: Person) -> list[ft.Control]:
    """The latest first."""
    return [_session(one, in_unit(person.unit)) for one in reversed(person.sessions)]


def _session(session: SessionReport, own: Words) -> ft.Control:
    """What hurt in it stands above, with everybody's pain first."""
    told = (figures.session_line(session), *of_session(session))
    return ft.Column([rule(), *(words(line_text(one, own)) for one in told)], spacing=Space.XS)
