"""The first screen of all: cautions, the room, and what changes defaults if the person says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from companion.text import CAUTIONS, ROOM, URGENT
from companion.views.frame import page_frame
from companion.views.inputs import tick_row
from companion.views.parts import notice, primary_button, section_title, words
from companion.views.safe import safe_component
from engine.record import ProfileFlag

FLAG_WORDS = {
    ProfileFlag.novice: "New to strength training",
    ProfileFlag.older: "65 or older",
    ProfileFlag.pregnant: "Pregnant (clearance first)",
    ProfileFlag.high_blood_pressure: "High blood pressure",
}


@safe_component
def cautions_screen(on_accept: Callable[[tuple[ProfileFlag, ...]], Any]) -> ft.Control:
    nothing: tuple[ProfileFlag, ...] = ()
    flags, set_flags = ft.use_state(nothing)

    def toggle(flag: ProfileFlag) -> Callable[[bool], None]:
        return lambda on: set_flags((*flags, flag) if on else tuple(f for f in flags if f is not flag))

    async def accept() -> None:
        await on_accept(flags)

    return page_frame(
        [
            *(words(sentence) for sentence in CAUTIONS),
            notice("danger", URGENT),
            section_title("The room"),
            words(ROOM),
            section_title("Does any of this hold for you?", detail="Only what you tick changes anything"),
            ft.Column(
                [tick_row(label, flag in flags, toggle(flag)) for flag, label in FLAG_WORDS.items()],
                spacing=0,
            ),
        ],
        title="Before the first session",
        actions=[primary_button("I have read this", accept, expand=True)],
    )
