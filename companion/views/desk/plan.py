"""The plan as a whole: its name, its change of sides and its stop rules."""

from __future__ import annotations

import flet as ft

from companion.views.controls.parts import group, section_title
from companion.views.desk.fields import STOP_RULE, Fields
from companion.words.saying import msgid, say
from engine.plan.plan import SideChangeMode

MODES = (
    (SideChangeMode.added.value, msgid("Added")),
    (SideChangeMode.inside.value, msgid("Inside")),
    (SideChangeMode.from_rest.value, msgid("From the rest")),
)


def plan_part(fields: Fields) -> list[ft.Control]:
    return [
        group(
            section_title(say("The plan")),
            fields.text(say("Name"), "name", needed=True),
            fields.text(say("By whom"), "author"),
            fields.text(say("A note to whoever does it"), "note", lines=2),
            fields.number(say("Changeover between blocks"), "transition_s", unit=say("s")),
        ),
        group(
            section_title(say("Change of sides")),
            fields.choice(say("Its seconds are"), MODES, "side_change", "mode"),
            fields.number(say("It takes"), "side_change", "change_s", unit=say("s")),
        ),
        fields.lines(say("Stop rules of the whole plan"), STOP_RULE, "stop_rules"),
    ]
