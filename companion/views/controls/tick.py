"""A line to tick, which is one target as a whole."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft
import flet.canvas as cv

from companion.views.controls.buttons import bound, line_button
from companion.views.controls.parts import words
from companion.views.controls.theme import RADIUS, Role, Type


def _tick_box(done: bool) -> ft.Control:
    frame = ft.Paint(
        color=Role.ACCENT if done else Role.LINE_STRONG, stroke_width=2, style=ft.PaintingStyle.STROKE
    )
    shapes: list[cv.Shape] = [cv.Rect(1, 1, 28, 28, border_radius=RADIUS, paint=frame)]
    if done:
        pen = ft.Paint(color=Role.ON_ACCENT, stroke_width=4, style=ft.PaintingStyle.STROKE)
        shapes = [
            cv.Rect(0, 0, 30, 30, border_radius=RADIUS, paint=ft.Paint(color=Role.ACCENT)),
            cv.Path([cv.Path.MoveTo(7, 15), cv.Path.LineTo(13, 22), cv.Path.LineTo(24, 8)], paint=pen),
        ]
    return ft.Container(width=30, height=30, content=cv.Canvas(shapes=shapes))


def tick_row(
    label: str,
    done: bool,
    on_toggle: Callable[[bool], Any],
    *,
    amount: str | None = None,
    hint: str | None = None,
) -> ft.Control:
    """One line of a checklist, with `amount` at the right and `hint` below; the whole row can be tapped."""
    ink = Role.INK_SOFT if done else Role.INK
    texts: list[ft.Control] = [words(label, size=Type.LEAD, strong=not done, colour=ink)]
    if hint:
        texts.append(words(hint, size=Type.CAPTION, colour=Role.INK_SOFT))
    cells: list[ft.Control] = [_tick_box(done), ft.Column(texts, spacing=2, tight=True, expand=True)]
    if amount:
        cells.append(words(amount, colour=ink))
    return line_button(cells, bound(on_toggle, not done), ink=ink, checked=done)
