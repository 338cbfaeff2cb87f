"""A number from 0 to 10, given by one tap: eleven buttons in two rows, none of them chosen at first."""

from __future__ import annotations

from collections.abc import Callable
from inspect import isawaitable

import flet as ft

from companion.views.controls.choice import choice_row
from companion.views.controls.theme import Space

RATINGS = tuple((str(number), str(number)) for number in range(11))


def rating(
    chosen: float | None, on_choose: Callable[[int | None], object], *, name: str, what: str
) -> ft.Control:
    """``on_choose`` gets the number, or None after a tap on the chosen one. A screen reader says ``what``
    before each number."""
    now = None if chosen is None else f"{chosen:g}"

    async def choose(value: str) -> None:
        done = on_choose(None if value == now else int(value))
        if isawaitable(done):
            await done

    rows: list[ft.Control] = [
        choice_row(row, now, choose, name=name, said_before=what) for row in (RATINGS[:6], RATINGS[6:])
    ]
    return ft.Column(rows, spacing=Space.S)
