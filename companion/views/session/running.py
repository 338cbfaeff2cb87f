"""The running session: paused, at the person's own pace, or by the clock."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.frame import page_frame
from companion.views.controls.parts import words
from companion.views.controls.safe import safe_component
from companion.views.session.clocked import clocked
from companion.views.session.paused import paused
from companion.views.session.self_paced import self_paced
from companion.words.saying import say
from engine.live.state import Status
from engine.session.segment import Pace

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.session import Session
    from companion.state.app import State


@safe_component
def running_screen(state: State, do: Session, go: Go) -> ft.Control:
    run = state.run.in_progress.state
    if run.status is Status.paused:
        return paused(state, do, go)
    if run.current is None:
        return page_frame([words(say("One moment."))], title=None)
    if run.current.pace is Pace.self:
        return self_paced(state, run.current, do)
    return clocked(state, run.current, do)
