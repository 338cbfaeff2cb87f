"""What every drawing is made with: paint for lines, and text on a canvas."""

from __future__ import annotations

from dataclasses import replace

import flet as ft
import flet.canvas as cv

from companion.views.controls.theme import FONT_FALLBACK, FONT_STRONG, FONT_TEXT, Role
from engine.base.printable import printable_line


def line_paint(colour: str, width: float = 1.5) -> ft.Paint:
    """Paint for a line ``width`` px wide."""
    return ft.Paint(color=colour, stroke_width=width, style=ft.PaintingStyle.STROKE)


def dashed_paint(colour: str, width: float = 1.5) -> ft.Paint:
    """Paint for a dashed line ``width`` px wide."""
    return replace(line_paint(colour, width), stroke_dash_pattern=[4, 3])


def text_at(
    value: str, x: float, y: float, *, size: float, at: ft.Alignment, strong: bool = False
) -> cv.Text:
    """Text of ``size`` px; ``at`` says which of its corners or edges lies on the point."""
    look = ft.TextStyle(
        size=size,
        height=1.2,
        color=Role.INK if strong else Role.INK_SOFT,
        font_family=FONT_STRONG if strong else FONT_TEXT,
        font_family_fallback=FONT_FALLBACK,
    )
    return cv.Text(x, y, value=printable_line(value), style=look, alignment=at)
