"""The QR code of a link, drawn as one path: not every browser shows a picture that is given as bytes."""

from __future__ import annotations

import flet as ft
import flet.canvas as cv

from companion.paper.qr import QUIET_MODULES, dark_runs, modules_a_side, qr_code

DARK, LIGHT = "#000000", "#FFFFFF"  # a reader needs the contrast in both themes


def qr_drawing(link_written: str, *, px: int, label: str) -> ft.Control | None:
    """The code with its border, at most ``px`` wide; None where no code is large enough."""
    code = qr_code(link_written)
    if code is None:
        return None
    side = modules_a_side(code) + 2 * QUIET_MODULES
    module_px = max(1, px // side)  # whole pixels, so that no light lines appear between the rows
    elements: list[cv.Path.PathElement] = []
    for x, y, length in dark_runs(code):
        middle = (y + 0.5) * module_px
        elements.append(cv.Path.MoveTo(x * module_px, middle))
        elements.append(cv.Path.LineTo((x + length) * module_px, middle))
    paint = ft.Paint(
        color=DARK,
        stroke_width=module_px,
        style=ft.PaintingStyle.STROKE,
        stroke_cap=ft.StrokeCap.BUTT,
        anti_alias=False,
    )
    drawn = cv.Canvas([cv.Path(elements, paint=paint)], width=side * module_px, height=side * module_px)
    return ft.Semantics(label=label, image=True, content=ft.Container(drawn, bgcolor=LIGHT))
