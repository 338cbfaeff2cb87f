"""The screen that the state names, drawn with the actions of that screen and the ways to others."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from typing import TYPE_CHECKING

import flet as ft

from companion.state.screen import Screen
from companion.views.home.cautions import cautions_screen
from companion.views.session.setup import setup_screen

if TYPE_CHECKING:
    from companion.actions.actions import Actions
    from companion.state.app import State


DRAWN_IN = {
    Screen.running: "session.running",
    Screen.hurt: "session.hurt",
    Screen.log: "after.log",
    Screen.week: "after.week",
    Screen.record: "after.record",
    Screen.afterwards: "after.afterwards",
    Screen.kit: "home.kit",
    Screen.plans: "home.plans",
    Screen.plan: "home.plans",
    Screen.adjustment: "home.adjustment",
    Screen.cues: "home.cues",
    Screen.settings: "home.settings",
    Screen.differences: "home.differences",
    Screen.desk: "desk.desk",
    Screen.pages: "desk.pages",
}
"""The module of each screen that is imported when it is first shown, so that the start does not wait for it.

What draws the screen is named after it.
"""


def current_screen(state: State, do: Actions) -> ft.Control:
    if state.screen is Screen.cautions:
        return cautions_screen(do.opening.accept_cautions, do.opening.today(), do.opening.whose())  # type: ignore[no-any-return]
    if state.screen is Screen.setup:
        return setup_screen(state, do.setup, do.go)  # type: ignore[no-any-return]
    return drawer_of(state.screen)(state, _actions_of(state.screen, do), do.go)


def drawer_of(screen: Screen) -> Callable[..., ft.Control]:
    """The function that draws a screen of ``DRAWN_IN``."""
    module = importlib.import_module(f"companion.views.{DRAWN_IN[screen]}")
    drawer: Callable[..., ft.Control] = getattr(module, f"{screen}_screen")
    return drawer


def _actions_of(screen: Screen, do: Actions) -> object:
    """The actions with the name of the screen; two screens share those of another."""
    return getattr(do, {Screen.running: "session", Screen.plan: "plans"}.get(screen, screen.value))
