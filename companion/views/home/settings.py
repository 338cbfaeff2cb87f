"""Settings: the person, the look of this device, backup and erasing, and the problem report."""

from __future__ import annotations

from collections.abc import Callable, Mapping
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
from companion.words.language import NAMES
from companion.words.saying import msgid, say
from engine.record.profile import ProfileFlag

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.settings import Settings
    from companion.state.app import State


TITLE = msgid("Settings")
WEIGHTS_IN = msgid("Weights in")
CLOCK = msgid("Clock")
HOURS = {"": msgid("As the language"), "24": msgid("24 hours"), "12": msgid("12 hours")}
LANGUAGE = msgid("Language")
UNITS = {"kg": msgid("Kilograms"), "lb": msgid("Pounds")}
THEMES = {"system": msgid("As the device"), "light": msgid("Light"), "dark": msgid("Dark")}
MOTION = msgid("Moving shapes")
MOTION_HINT = msgid("Off: shapes fill in quarters, not bit by bit")
APART = msgid(
    "Each person has their own sessions, pain, plans, weights and settings, and starts with a copy of your "
    "weights. Nothing of one is in the other’s page or backup, but whoever holds the device can open both."
)
ADD = msgid("Let them train here too")
LESS_MOTION = msgid("This device asks for less motion: shapes fill in quarters")


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
        title=say(TITLE),
        said=said_of_backup(state, do.backup),
        on_back=bound(go.setup),
        wide=True,
    )


def _person(state: State, do: Settings) -> ft.Control:
    name = state.home.profile.name if state.home.profile else ""
    return group(
        section_title(say("You")),
        field(say("Name"), name, do.rename, hint=say("as your coach knows you")),
        section_title(say(WEIGHTS_IN)),
        choice_row(_shown(UNITS), state.home.unit.value, do.set_unit, name=say(WEIGHTS_IN)),
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
        section_title(say(FLAGS_QUESTION), detail=say(FLAGS_HINT)),
        *flag_rows(flags, do.toggle_flag, questions),
    )


def _household(state: State, do: Settings, go: Go) -> ft.Control:
    """Who else trains on this device; nobody can be added where nothing can be changed."""
    if state.read_only:
        return group()
    button = quiet_button(say(SOMEBODY_ELSE), bound(go.to_somebody_else))
    change = [ft.Row([button])] if state.may_change_person else []
    return group(
        section_title(say("Who else trains on this device"), detail=say(APART)),
        *change,
        entry(say("Their name"), say(ADD), do.add_trainee),
    )


def _looks(state: State, do: Settings) -> ft.Control:
    hint = say(LESS_MOTION) if state.device.less_motion else say(MOTION_HINT)
    return group(
        section_title(say("Appearance")),
        choice_row(_shown(THEMES), state.device.settings.theme.value, _set(do, "theme"), name=say("Colours")),
        *_language(state, do),
        section_title(say(CLOCK)),
        choice_row(_shown(HOURS), state.device.settings.hours, _set(do, "hours"), name=say(CLOCK)),
        tick_row(say(MOTION), state.device.settings.motion, _set(do, "motion"), hint=hint),
    )


def _language(state: State, do: Settings) -> list[ft.Control]:
    """The choice of a language, each in its own words; nothing where there is only one."""
    if len(NAMES) < 2:
        return []
    options = [("", say("The device’s")), *NAMES.items()]
    chosen, label = state.device.settings.language, say(LANGUAGE)
    return [section_title(label), choice_row(options, chosen, _set(do, "language"), name=label)]


def _shown(options: Mapping[str, str]) -> list[tuple[str, str]]:
    """The options of a choice by what they are saved as, with their labels in this language."""
    return [(value, say(label)) for value, label in options.items()]


def _set(do: Settings, what: str) -> Callable[[Any], Any]:
    async def change(value: object) -> None:
        await do.set_device(**{what: value})

    return change
