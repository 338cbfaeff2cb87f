"""After a session is over: its effort once more, and how the next morning felt. Nobody has to answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.state.required import required
from companion.style.words import day_words
from companion.views.after.log import EFFORT_SCALE
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.rating import rating
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role

if TYPE_CHECKING:
    from companion.actions.after.afterwards import Afterwards
    from companion.actions.go import Go
    from companion.state.app import State


SORENESS = "Muscles: dull, spread out, on movement or touch. It is expected for a few days."
JOINTS = "Joints: at one point, sharp, swollen, or at night. Anything above 0 holds the loads back."
LONGER = "Pain that stays longer than a week, or wakes you at night: have a health professional look at it."


@safe_component
def afterwards_screen(state: State, do: Afterwards, go: Go) -> ft.Control:
    asked = required(state.afterwards.asked, "Nothing is asked about a session.")
    answers = state.afterwards.answers
    effort = [
        group(
            section_title("How hard was it, looking back?", detail=EFFORT_SCALE),
            rating(answers.effort, do.say_effort, name="Effort", what="effort"),
        )
    ]
    morning = [
        group(
            section_title("Sore muscles this morning?", detail="0 to 10"),
            rating(answers.soreness, do.say_soreness, name="Soreness", what="soreness"),
            words(SORENESS, colour=Role.INK_SOFT),
        ),
        group(
            section_title("Pain in a joint this morning?", detail="0 to 10"),
            rating(answers.pain, do.say_morning_pain, name="Joint pain", what="joint pain"),
            words(JOINTS, colour=Role.INK_SOFT),
        ),
        *([notice("caution", LONGER)] if answers.pain else []),
    ]
    return page_frame(
        [
            words(f"{asked.plan_name}, {day_words(asked.local_date)}"),
            *(effort if asked.asks_effort else []),
            *(morning if asked.asks_morning else []),
        ],
        title="After the session",
        actions=[
            quiet_button("Not now", bound(go.setup), tall=True, expand=True),
            primary_button("Keep", bound(do.save), expand=True),
        ],
    )
