"""What is shown instead of a session while a joint hurts too much for one. Never a diagnosis."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import flet as ft

from companion.style.pain_words import (
    ABOUT_EASY,
    ABOUT_PAIN,
    BAD_AGAIN,
    NEXT_STEP,
    NO_EASY_MOVEMENT,
    NO_SESSION,
    TELL_COACH,
    easy_title,
    easy_words,
    pain_today,
)
from companion.style.safety import URGENT
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.parts import NoticeKind, group, notice, section_title, words
from companion.views.controls.theme import Role
from companion.words.saying import said, say
from engine.base.units import format_duration
from engine.today.no_session import AboutPain, NextStep, NoSession

if TYPE_CHECKING:
    from companion.actions.session.setup import Setup
    from companion.state.app import State

YES, NO = "yes", "no"
_NOTICE: dict[NextStep, NoticeKind] = {
    NextStep.rest: "note",
    NextStep.see_clinician: "caution",
    NextStep.get_help: "danger",
}


def no_session_today(state: State, why: NoSession, do: Setup) -> list[ft.Control]:
    """The urgent signs, one question after another, and then what may be done instead.

    What to do stays in view below.
    """
    answers = state.fit.answers
    return [
        section_title(say(NO_SESSION), detail=pain_today(why)),
        notice("danger", say(URGENT)),
        *(_question(about, answers, do) for about in why.asked(answers)),
        *([notice("caution", say(BAD_AGAIN))] if why.again else []),
        *_easy_movement(state, do),
        words(say(TELL_COACH)),
    ]


def _easy_movement(state: State, do: Setup) -> list[ft.Control]:
    """What may be done instead, with its one button; one sentence where nothing is left of it."""
    easy = state.fit.easy
    if easy is None:
        return []
    if easy.session is None:
        return [words(say(NO_EASY_MOVEMENT))]
    start = quiet_button(
        say("Start easy movement {length}", length=format_duration(easy.session.total_ms)),
        bound(do.start_easy),
        tall=True,
        disabled=bool(state.read_only),
    )
    return [
        *(notice("caution", said(one)) for one in easy.cautions),
        notice("note", easy_words(easy.session), title=easy_title(easy.session), actions=[start]),
        words(say(ABOUT_EASY), colour=Role.INK_SOFT),
    ]


def no_session_in_brief(why: NoSession, answers: Mapping[AboutPain, bool]) -> ft.Control:
    """What stays in view instead of the start button."""
    step = why.next_step(answers)
    if step is None:
        return notice("caution", pain_today(why), title=say(NO_SESSION), announce=True)
    return notice(_NOTICE[step], say(NEXT_STEP[step]), title=say(NO_SESSION), announce=True)


def _question(about: AboutPain, answers: Mapping[AboutPain, bool], do: Setup) -> ft.Control:
    told, asked = {None: None, True: YES, False: NO}[answers.get(about)], say(ABOUT_PAIN[about])

    async def answer(value: str) -> None:
        await do.answer_about_pain(about, value == YES)

    return group(
        words(asked, strong=True),
        choice_row(((NO, say("No")), (YES, say("Yes"))), told, answer, name=asked, said_before=asked),
    )
