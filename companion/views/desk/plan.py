"""The plan as a whole: its name, its change of sides and its stop rules."""

from __future__ import annotations

import flet as ft

from companion.views.controls.parts import group, section_title
from companion.views.desk.fields import Fields
from engine.plan.plan import SideChangeMode

MODES = tuple(
    (mode.value, label) for mode, label in zip(SideChangeMode, ("Added", "Inside", "From rest"), strict=True)
)


def plan_part(fields: Fields) -> list[ft.Control]:
    return [
        group(
            section_title("The plan"),
            fields.text("Name", "name", needed=True),
            fields.text("By whom", "author"),
            fields.text("A note to whoever does it", "note", lines=2),
            fields.number("Change of block", "transition_s", unit="s"),
        ),
        group(
            section_title("Change of sides"),
            fields.choice("Its seconds are", MODES, "side_change", "mode"),
            fields.number("It takes", "side_change", "change_s", unit="s"),
        ),
        fields.lines("Stop rules of the whole plan", "Stop rule", "stop_rules"),
    ]
