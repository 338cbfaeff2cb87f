"""What was just done, with the button that takes it back, at the top of the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import Handler, quiet_button
from companion.views.controls.parts import notice
from companion.words.saying import msgid, say

if TYPE_CHECKING:
    from companion.state.app import State


UNDO = msgid("Undo")


def undo_notice(state: State, undo: Handler) -> list[ft.Control]:
    if state.undo is None:
        return []
    return [notice("note", state.undo.said, actions=[quiet_button(say(UNDO), undo)], announce=True)]
