"""One line to write and the button that takes it; what is wrong with it stands under it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import flet as ft

from companion.views.controls.buttons import Tone
from companion.views.controls.inputs import field
from companion.views.controls.parts import quiet_button
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Space


@safe_component
def entry(
    label: str,
    button: str,
    on_add: Callable[[str], Awaitable[None]],
    *,
    number: bool = False,
    tone: Tone = "plain",
) -> ft.Control:
    """``on_add`` gets what was written, and raises ValueError with one sentence where it cannot be taken."""
    written: ft.MutableRef[str] = ft.use_ref("")
    fault, set_fault = ft.use_state("")
    taken, set_taken = ft.use_state(0)

    def write(text: str) -> None:
        written.current = text

    async def add() -> None:
        try:
            await on_add(written.current)
        except ValueError as wrong:
            set_fault(str(wrong))
            return
        written.current = ""
        set_fault("")
        set_taken(taken + 1)

    box = field(label, "", write, fault=fault or None, number=number, key=f"{taken}")
    return ft.Column(
        [box, ft.Row([quiet_button(button, add, tone=tone)])],
        spacing=Space.S,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )
