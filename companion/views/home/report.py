"""The problem report: shown as it will be read, and only then saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import Handler, bound, button_row, quiet_button
from companion.views.controls.parts import group, section_title, words
from companion.views.controls.safe import safe_component

if TYPE_CHECKING:
    from companion.actions.home.report import Report
    from companion.state.app import State


WHAT = "For whoever looks after this app: what runs here and what failed last. No sessions, names or notes."
SHOW = "Show a problem report"
SAVE = "Save this report"
AWAY = "Put it away"


@safe_component
def problem_report(state: State, do: Report) -> ft.Control:
    report = state.device.report
    if not report:
        return group(section_title("Problem report"), words(WHAT), button_row(quiet_button(SHOW, _show(do))))
    return group(
        section_title("Problem report"),
        ft.Semantics(live_region=True, container=True, content=words(report)),
        button_row(quiet_button(SAVE, bound(do.save)), quiet_button(AWAY, bound(do.put_away))),
    )


def _show(do: Report) -> Handler:
    return bound(do.show, ft.context.page.client_user_agent or "")
