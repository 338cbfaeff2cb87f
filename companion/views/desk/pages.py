"""The pages that came back: everybody in a paragraph, pain and stops first, or one person in detail."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, rule, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space
from companion.views.desk.answer import answer_part
from companion.words.words import ENGLISH
from engine.coach import pain_sentences as say_pain
from engine.coach import sentences as say
from engine.coach.roster import Person, copies, left_out_after_pain, pain, sentences
from engine.coach.session_report import SessionReport

if TYPE_CHECKING:
    from companion.actions.desk.pages import Pages
    from companion.actions.go import Go
    from companion.state.app import State


TITLE = "Pages that came back"
NOTHING = (
    "Pick the pages that people sent you, or drop them on this window, as many at once as you like. They are "
    "read here and not kept."
)
STOPPED = "Stopped by pain"
HURTS = "Pain"


@safe_component
def pages_screen(state: State, do: Pages, go: Go) -> ft.Control:
    person = state.pages.person
    return _roster(state, do, go) if person is None else _detail(person, state, do)


def _roster(state: State, do: Pages, go: Go) -> ft.Control:
    people = state.pages.people
    clear = [quiet_button("Put all away", do.clear, tall=True)] if people else []
    return page_frame(
        [
            *_refused(state),
            *([] if people else [words(NOTHING)]),
            *(_person(one, do) for one in people),
        ],
        title=TITLE,
        on_back=bound(go.plans),
        actions=[*clear, primary_button("Pick pages", do.take, expand=True)],
    )


def _refused(state: State) -> list[ft.Control]:
    said = [f"{name}: {issue.message}" for name, issue in state.pages.refused]
    return [notice("caution", "\n".join(said), title="Not read", announce=True)] if said else []


def _flag(person: Person) -> str | None:
    return STOPPED if person.stopped else HURTS if person.hurts else None


def _person(person: Person, do: Pages) -> ft.Control:
    """One person in a paragraph, with what became of further copies of the page."""
    first, *rest = map(ENGLISH.read, sentences(person))
    told = _pain(person)
    return group(
        section_title(first.removesuffix("."), detail=_flag(person)),
        *(words(line, strong=True) for line in told),
        words(" ".join(line for line in rest if line not in told)),
        *_copies(person),
        ft.Row([quiet_button("Open", bound(do.open_person, person.trainee_id), name=f"Open {person.name}")]),
    )


def _pain(person: Person) -> list[str]:
    return [*left_out_after_pain(person), *pain(person)]


def _copies(person: Person) -> list[ft.Control]:
    said = " ".join(copies(person))
    return [words(said, colour=Role.INK_SOFT)] if said else []


def _detail(person: Person, state: State, do: Pages) -> ft.Control:
    first, *rest = map(ENGLISH.read, sentences(person))
    told = _pain(person)
    lines: list[ft.Control] = [words(line, strong=line in told) for line in rest]
    return page_frame(
        [
            columns(
                [
                    group(
                        section_title(first.removesuffix("."), detail=_flag(person)), *lines, *_copies(person)
                    ),
                    group(section_title("Session by session"), *_sessions(person.sessions)),
                ],
                [*answer_part(person, state, do.answer)],
            )
        ],
        title=person.name,
        on_back=do.close_person,
        wide=True,
        top_at=person.trainee_id,
    )


def _sessions(sessions: Sequence[SessionReport]) -> list[ft.Control]:
    """The latest first."""
    return [_session(one) for one in reversed(sessions)]


def _session(session: SessionReport) -> ft.Control:
    more = map(ENGLISH.say, say.session_more(session))
    told = [say.session_sentence(session), *say_pain.pain(session), *more]
    noted = [f"Noted: {session.note}"] if session.note else []
    return ft.Column([rule(), *(words(line) for line in (*told, *noted))], spacing=Space.XS)
