"""What the keyboard does in a window: the keys of the running session and of the coach's desk.

The space bar and Enter belong to the button that the keyboard is on: Pause and Go on, until Tab moves it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.state.screen import Screen
from companion.window.window import Window
from engine.live.state import Status

if TYPE_CHECKING:
    from companion.actions.desk.desk import Desk
    from companion.actions.session.session import Session
    from companion.state.plan_on_desk import PlanOnDesk


async def press_key(window: Window, event: ft.KeyboardEvent) -> None:
    """Does what a key stands for on the screen that is shown; elsewhere keys do nothing."""
    state = window.state
    if window.who.asked:
        return
    if state.screen is Screen.running and state.run.live is not None:
        await _in_session(event, window.do.session, paused=state.run.live.state.status is Status.paused)
    elif state.screen is Screen.desk and state.desk.plan is not None:
        await _at_desk(event, window.do.desk, state.desk.plan)


async def _in_session(event: ft.KeyboardEvent, do: Session, *, paused: bool) -> None:
    """P pauses and goes on, the arrows skip and step back."""
    if event.ctrl or event.alt or event.meta:
        return
    if event.key.upper() == "P":
        await (do.resume() if paused else do.pause())
    elif event.key == "Arrow Right" and not paused:
        await do.skip()
    elif event.key == "Arrow Left" and not paused:
        await do.back()


async def _at_desk(event: ft.KeyboardEvent, do: Desk, plan: PlanOnDesk) -> None:
    """Ctrl or Cmd with Z undoes; with Y, or with Shift and Z, it redoes. Inside a field the field does so."""
    if plan.in_field or event.alt or not (event.ctrl or event.meta):
        return
    key = event.key.upper()
    if key == "Y" or (key == "Z" and event.shift):
        await do.edit.write_again()
    elif key == "Z":
        await do.edit.take_back()
