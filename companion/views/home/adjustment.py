"""What the coach asks of this person, in sentences, before it is taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.state.required import required
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import notice, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Space, Type
from companion.words.saying import msgid, said, say
from engine.plan.adjustment import describe

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.adjustment import Adjustment
    from companion.state.app import State


TITLE = msgid("Your coach asks")
WHAT_IT_DOES = msgid(
    "Once saved, it shapes each session until its last day. It never overrides a stop rule, a sore joint or "
    "what is left out after pain."
)


@safe_component
def adjustment_screen(state: State, do: Adjustment, go: Go) -> ft.Control:
    adjustment = required(state.plans.adjustment_shown, "No adjustment is shown.")
    who, *changes = describe(adjustment, state.plans.chosen.known_movements())
    lines: list[ft.Control] = [words(said(change), size=Type.LEAD) for change in changes]
    return page_frame(
        [words(said(who)), ft.Column(lines, spacing=Space.S), notice("note", say(WHAT_IT_DOES))],
        title=say(TITLE),
        actions=[
            quiet_button(say("Not now"), bound(go.setup), tall=True, expand=True),
            primary_button(say("Save"), bound(do.take), expand=True),
        ],
    )
