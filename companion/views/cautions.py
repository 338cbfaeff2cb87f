"""The first screen of all: cautions, the room, and what changes defaults if the person says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from companion.text import CAUTIONS, ROOM, URGENT
from companion.views.frame import columns, page_frame
from companion.views.inputs import tick_row
from companion.views.parts import group, notice, primary_button, section_title, words
from companion.views.safe import safe_component
from engine.record import ProfileFlag

FLAGS_QUESTION = "Does any of this hold for you?"
FLAGS_HINT = "Only what you tick changes anything"
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

    ticks = [tick_row(label, flag in flags, toggle(flag)) for flag, label in FLAG_WORDS.items()]
    return page_frame(
        [
            columns(
                [*(words(sentence) for sentence in CAUTIONS), notice("danger", URGENT)],
                [
                    group(section_title("The room"), words(ROOM)),
                    group(section_title(FLAGS_QUESTION, detail=FLAGS_HINT), ft.Column(ticks, spacing=0)),
                ],
            )
        ],
        title="Before the first session",
        wide=True,
        actions=[primary_button("I have read this", accept, expand=True)],
    )
