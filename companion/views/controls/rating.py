"""A number from 0 to 10, said by one tap: eleven buttons in two rows, none chosen before it is said."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from companion.views.controls.choice import choice_row
from companion.views.controls.theme import Space

RATINGS = tuple((str(number), str(number)) for number in range(11))


def rating(
    chosen: float | None, on_choose: Callable[[int | None], object], *, name: str, what: str
) -> ft.Control:
    """``on_choose`` gets the number, or None where the chosen one was tapped again; ``what`` is said before
    each number by a screen reader."""
    now = None if chosen is None else f"{chosen:g}"

    def choose(value: str) -> None:
        on_choose(None if value == now else int(value))

    rows: list[ft.Control] = [
        choice_row(row, now, choose, name=name, said_before=what) for row in (RATINGS[:6], RATINGS[6:])
    ]
    return ft.Column(rows, spacing=Space.S)
