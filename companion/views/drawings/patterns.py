"""Draws the pattern of each kind of segment on a screen."""

from collections.abc import Callable
from typing import NamedTuple

import flet as ft
import flet.canvas as cv

from companion.style.kinds import KIND_PATTERN, KIND_ROLE, KIND_WORD, Pattern
from companion.views.controls.parts import polygon, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.drawings.paint import line_paint
from companion.words.saying import say
from engine.session.segment import Kind

HATCH_PX = 6  # distance between lines, and between dots
NARROWEST_WEDGES_PX = 5
KEY_SIZE_PX = (32, 24)


class Box(NamedTuple):
    """Where to draw, in px from the upper left corner of the canvas."""

    left: float
    right: float
    top: float
    height: float

    @property
    def bottom(self) -> float:
        return self.top + self.height

    @property
    def middle(self) -> float:
        return self.top + self.height / 2


def kind_shapes(kind: Kind, box: Box) -> list[cv.Shape]:
    """The pattern of a kind of segment, filling ``box``."""
    return _DRAW[KIND_PATTERN[kind]](box, KIND_ROLE[kind])


def kind_key(kind: Kind) -> ft.Control:
    """One entry of the key: the pattern and its word."""
    width, height = KEY_SIZE_PX
    inset = 9 if kind is Kind.side_change else 0
    sample = cv.Canvas(shapes=kind_shapes(kind, Box(inset, width - inset, 1, height - 2)))
    box = ft.Container(content=sample, width=width, height=height)
    return ft.Row(
        [box, words(say(KIND_WORD[kind]), size=Type.CAPTION, colour=Role.INK_SOFT)],
        spacing=Space.S,
        tight=True,
    )


def _solid(box: Box, colour: str) -> list[cv.Shape]:
    return [cv.Rect(box.left, box.top, box.right - box.left, box.height, paint=ft.Paint(color=colour))]


def _frame(box: Box, colour: str) -> cv.Shape:
    inner_width = max(0.5, box.right - box.left - 1.5)
    return cv.Rect(box.left + 0.75, box.top + 0.75, inner_width, box.height - 1.5, paint=line_paint(colour))


def _hatch(box: Box, colour: str, *, rising: bool) -> list[cv.Shape]:
    """Lines at 45 degrees, clipped to the box. All boxes share one grid, so neighbours match."""
    first = int((box.left - box.height) // HATCH_PX) * HATCH_PX
    lines: list[cv.Shape] = []
    for start in range(first, int(box.right) + 1, HATCH_PX):
        left, right = max(box.left, start), min(box.right, start + box.height)
        if right - left < 0.5:
            continue
        low, high = left - start, right - start
        y0, y1 = (box.bottom - low, box.bottom - high) if rising else (box.top + low, box.top + high)
        lines.append(cv.Line(left, y0, right, y1, paint=line_paint(colour, 1.2)))
    return [*lines, _frame(box, colour)]


def _rising(box: Box, colour: str) -> list[cv.Shape]:
    return _hatch(box, colour, rising=True)


def _falling(box: Box, colour: str) -> list[cv.Shape]:
    return _hatch(box, colour, rising=False)


def _dots(box: Box, colour: str) -> list[cv.Shape]:
    """Rows of dots around the middle, at least one column."""
    columns = max(1, int((box.right - box.left - 3) // HATCH_PX))
    rows = max(1, int((box.height - 6) // HATCH_PX))
    x0 = (box.left + box.right - (columns - 1) * HATCH_PX) / 2
    y0 = box.middle - (rows - 1) * HATCH_PX / 2
    spots: list[ft.Offset | tuple[float, float]] = [
        (x0 + column * HATCH_PX, y0 + row * HATCH_PX) for column in range(columns) for row in range(rows)
    ]
    paint = ft.Paint(color=colour, stroke_width=2.6, stroke_cap=ft.StrokeCap.ROUND)
    return [cv.Points(points=spots, point_mode=cv.PointMode.POINTS, paint=paint), _frame(box, colour)]


def _blank(box: Box, colour: str) -> list[cv.Shape]:
    edges, paint = (box.top + 1, box.bottom - 1), line_paint(colour, 2)
    return [cv.Line(box.left, y, box.right, y, paint=paint) for y in edges]


def _thread(box: Box, colour: str) -> list[cv.Shape]:
    return [cv.Line(box.left, box.middle, box.right, box.middle, paint=line_paint(colour, 3))]


def _wedges(box: Box, colour: str) -> list[cv.Shape]:
    centre, half = (box.left + box.right) / 2, max(NARROWEST_WEDGES_PX, box.right - box.left) / 2
    paint = ft.Paint(color=colour)
    return [
        polygon(((centre - half, edge), (centre + half, edge), (centre, box.middle)), paint)
        for edge in (box.top, box.bottom)
    ]


_DRAW: dict[Pattern, Callable[[Box, str], list[cv.Shape]]] = {
    Pattern.solid: _solid,
    Pattern.rising: _rising,
    Pattern.falling: _falling,
    Pattern.dots: _dots,
    Pattern.wedges: _wedges,
    Pattern.blank: _blank,
    Pattern.thread: _thread,
}
