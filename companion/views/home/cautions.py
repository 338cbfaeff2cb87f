"""The very first screen: cautions, a look at the room, and what the person may say about themselves."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from datetime import date
from typing import Any

import flet as ft

from companion.style.safety import CAUTIONS, ROOM_CHECK, URGENT
from companion.views.controls.buttons import ignoring_value, primary_button
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.tick import tick_row
from companion.views.home.profile_questions import birth_question, week_question
from companion.words.saying import msgid, said, say
from engine.record.profile import Birth, ProfileFlag
from engine.today.cautions import CAUTIONS as FLAG_CAUTIONS

FLAGS_QUESTION = msgid("Does any of this apply to you?")
FLAGS_HINT = msgid("Only what you tick changes anything")
FLAG_WORDS = {
    ProfileFlag.novice: msgid("New to strength training"),
    ProfileFlag.older: msgid("65 or older"),
    ProfileFlag.pregnant: msgid("Pregnant"),
    ProfileFlag.after_birth: msgid("Gave birth recently"),
    ProfileFlag.high_blood_pressure: msgid("High blood pressure"),
    ProfileFlag.fragile_bones: msgid("Fragile bones (osteoporosis)"),
}


def flag_rows(
    ticked: Collection[ProfileFlag],
    on_toggle: Callable[[ProfileFlag], Any],
    questions: Mapping[ProfileFlag, ft.Control],
) -> list[ft.Control]:
    """A line to tick for each flag, and what is asked and to take care of under each ticked one."""
    rows: list[ft.Control] = []
    for flag, label in FLAG_WORDS.items():
        rows.append(tick_row(say(label), flag in ticked, ignoring_value(on_toggle, flag)))
        if flag in ticked:
            rows.extend([questions[flag]] if flag in questions else [])
            rows.append(notice("caution", said(FLAG_CAUTIONS[flag])))
    return rows


@safe_component
def cautions_screen(on_accept: Callable[..., Any], today: date, whose: str) -> ft.Control:
    """``on_accept`` gets what was ticked, and the week and the birth where they were told. ``whose`` is the
    name of whom it is about, where several people train here."""
    nothing: tuple[ProfileFlag, ...] = ()
    unsaid: int | None = None
    no_birth: Birth | None = None
    flags, set_flags = ft.use_state(nothing)
    week, set_week = ft.use_state(unsaid)
    birth, set_birth = ft.use_state(no_birth)
    questions = {
        ProfileFlag.pregnant: week_question(week, set_week),
        ProfileFlag.after_birth: birth_question(birth, today, set_birth),
    }

    async def accept() -> None:
        told_week = week if ProfileFlag.pregnant in flags else None
        await on_accept(flags, told_week, birth if ProfileFlag.after_birth in flags else None)

    def toggle(flag: ProfileFlag) -> None:
        set_flags(tuple(f for f in flags if f is not flag) if flag in flags else (*flags, flag))

    room = [words(say(sentence)) for sentence in ROOM_CHECK]
    return page_frame(
        [
            columns(
                [*(words(say(sentence)) for sentence in CAUTIONS), notice("danger", say(URGENT))],
                [
                    group(section_title(say("The room"), detail=say("check before you start")), *room),
                    group(
                        section_title(say(FLAGS_QUESTION), detail=say(FLAGS_HINT)),
                        *flag_rows(flags, toggle, questions),
                    ),
                ],
            )
        ],
        title=say("Before {name}’s first session", name=whose) if whose else say("Before your first session"),
        wide=True,
        actions=[primary_button(say("I have read this"), accept, expand=True)],
    )
