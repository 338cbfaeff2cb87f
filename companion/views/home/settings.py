"""Settings: the person, the look of this device, backup and erasing, and the problem report."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.field import entry, field
from companion.views.controls.frame import SOMEBODY_ELSE, columns, page_frame
from companion.views.controls.parts import group, section_title
from companion.views.controls.safe import safe_component
from companion.views.controls.tick import tick_row
from companion.views.home.backup import backup_and_erase, said_of_backup
from companion.views.home.cautions import FLAGS_HINT, FLAGS_QUESTION, flag_rows
from companion.views.home.profile_questions import birth_question, week_question
from companion.views.home.report import problem_report
from engine.record.profile import ProfileFlag

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.settings import Settings
    from companion.state.app import State


TITLE = "Settings"
UNITS = (("kg", "Kilograms"), ("lb", "Pounds"))
THEMES = (("system", "As the device"), ("light", "Light"), ("dark", "Dark"))
MOTION = "Shapes that move"
MOTION_HINT = "Off: shapes fill in quarters instead of by and by"
APART = (
    "Each has sessions, pain, plans, weights and settings of their own; who is new begins with a copy of "
    "your weights. Nothing of one is in the other's page or backup. Whoever holds the device can open either."
)
ADD = "Let them train here too"
LESS_MOTION = "This device asks for less motion: shapes fill in quarters"


@safe_component
def settings_screen(state: State, do: Settings, go: Go) -> ft.Control:
    return page_frame(
        [
            columns(
                [_person(state, do), _flags(state, do), _household(state, do, go)],
                [
                    _looks(state, do),
                    backup_and_erase(state, do.backup, do.copies),
                    problem_report(state, do.report),
                ],
            )
        ],
        title=TITLE,
        said=said_of_backup(state, do.backup),
        on_back=bound(go.setup),
        wide=True,
    )


def _person(state: State, do: Settings) -> ft.Control:
    name = state.home.profile.name if state.home.profile else ""
    return group(
        section_title("You"),
        field("Name", name, do.rename, hint="as your coach knows you"),
        section_title("Loads in"),
        choice_row(UNITS, state.home.unit.value, do.set_unit, name="Loads in"),
    )


def _flags(state: State, do: Settings) -> ft.Control:
    profile, today = state.home.profile, do.today()
    flags = profile.flags if profile else ()
    week = profile.pregnancy.on(today) if profile and profile.pregnancy else None
    birth = profile.birth if profile else None
    questions = {
        ProfileFlag.pregnant: week_question(week, do.say_week),
        ProfileFlag.after_birth: birth_question(birth, today, do.say_birth),
    }
    return group(
        section_title(FLAGS_QUESTION, detail=FLAGS_HINT), *flag_rows(flags, do.toggle_flag, questions)
    )


def _household(state: State, do: Settings, go: Go) -> ft.Control:
    """Who else trains on this device; nobody can be added where nothing can be changed."""
    if state.read_only:
        return group()
    change = (
        [ft.Row([quiet_button(SOMEBODY_ELSE, bound(go.to_somebody_else))])] if state.may_change_person else []
    )
    return group(
        section_title("Who else trains on this device", detail=APART),
        *change,
        entry("Their name", ADD, do.add_trainee),
    )


def _looks(state: State, do: Settings) -> ft.Control:
    hint = LESS_MOTION if state.device.less_motion else MOTION_HINT
    return group(
        section_title("Looks of this device"),
        choice_row(THEMES, state.device.settings.theme.value, _set(do, "theme"), name="Colours"),
        tick_row(MOTION, state.device.settings.motion, _set(do, "motion"), hint=hint),
    )


def _set(do: Settings, what: str) -> Callable[[Any], Any]:
    async def change(value: object) -> None:
        await do.set_device(**{what: value})

    return change
