"""Who trains now, on a device that several people use."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, primary_button
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import notice, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Space
from companion.words.saying import msgid, say

if TYPE_CHECKING:
    from storage.trainees import TraineeHere

TITLE = msgid("Who trains?")
NAME_UNREADABLE = msgid("Somebody whose name cannot be read")


@safe_component
def who_screen(
    trainees: Sequence[TraineeHere], on_chosen: Callable[[str], Awaitable[None]], said: str
) -> ft.Control:
    """One large button for each person; a session that is not over is named below its own."""
    told = [notice("note", said, announce=True)] if said else []
    return page_frame([*told, *(_person(one, on_chosen) for one in trainees)], title=say(TITLE))


def _person(one: TraineeHere, on_chosen: Callable[[str], Awaitable[None]]) -> ft.Control:
    button = primary_button(one.name or say(NAME_UNREADABLE), bound(on_chosen, one.key), expand=True)
    waiting = [words(say("A session waits: {plan}", plan=one.in_progress))] if one.in_progress else []
    return ft.Column([ft.Row([button]), *waiting], spacing=Space.XS, tight=True)
