"""The problem report: shown as it will be read, and only then saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import Handler, bound, button_row, quiet_button
from companion.views.controls.parts import group, section_title, words
from companion.views.controls.safe import safe_component
from companion.words.saying import msgid, say

if TYPE_CHECKING:
    from companion.actions.home.report import Report
    from companion.state.app import State


WHAT = msgid(
    "For whoever looks after this app: what runs here and what failed last. It holds no sessions, names or "
    "notes."
)
TITLE = msgid("Problem report")
SHOW = msgid("Show a problem report")
SAVE = msgid("Save this report")
AWAY = msgid("Close the report")


@safe_component
def problem_report(state: State, do: Report) -> ft.Control:
    report = state.device.report
    if not report:
        return group(
            section_title(say(TITLE)), words(say(WHAT)), button_row(quiet_button(say(SHOW), _show(do)))
        )
    return group(
        section_title(say(TITLE)),
        ft.Semantics(live_region=True, container=True, content=words(report)),
        button_row(quiet_button(say(SAVE), bound(do.save)), quiet_button(say(AWAY), bound(do.put_away))),
    )


def _show(do: Report) -> Handler:
    return bound(do.show, ft.context.page.client_user_agent or "")
