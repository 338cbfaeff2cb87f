"""Which side of the body works: two upright halves and a word. The working half fills from below.

Where the sides take turns, one half is set higher than the other.
"""

from typing import Literal

import flet as ft
import flet.canvas as cv

from companion.views.controls.parts import polygon, words
from companion.views.controls.theme import Role, Space, Type
from companion.words.saying import msgid, say

ShownSide = Literal["left", "right", "both", "turns"]

SIDE_WORD = {
    "left": msgid("LEFT"),
    "right": msgid("RIGHT"),
    "both": msgid("BOTH"),
    "turns": msgid("TAKE TURNS"),
}
_SPOKEN = {
    "left": msgid("left side"),
    "right": msgid("right side"),
    "both": msgid("both sides"),
    "turns": msgid("sides take turns"),
}
_CUT = 0.22  # cut of the outer corners, as a share of the width: the halves differ in outline too
_STEP = 0.25  # how much lower one half stands where the sides take turns, as a share of the height
_GAP = 0.08  # the space between the halves, as a share of the width


def _half(left: bool, width: float, height: float, top: float) -> tuple[tuple[float, float], ...]:
    """The corners of one half, whose outer corners are cut; ``top`` is how much lower it stands."""
    inner, outer = (width * (1 - _GAP) / 2, 0.0) if left else (width * (1 + _GAP) / 2, width)
    cut = width * _CUT
    towards = cut if left else -cut
    foot = top + height
    return (
        (inner, top),
        (outer + towards, top),
        (outer, top + cut),
        (outer, foot - cut),
        (outer + towards, foot),
        (inner, foot),
    )


def _below(points: tuple[tuple[float, float], ...], top: float) -> tuple[tuple[float, float], ...]:
    """The part of a convex outline below ``top`` (Sutherland and Hodgman's clip, one edge)."""
    kept: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True):
        if y0 >= top:
            kept.append((x0, y0))
        if (y0 >= top) != (y1 >= top):
            kept.append((x0 + (x1 - x0) * (top - y0) / (y1 - y0), top))
    return tuple(kept)


def _half_shapes(
    left: bool, fraction: float | None, width: float, height: float, *, top: float = 0
) -> list[cv.Shape]:
    """One half, filled up to ``fraction``; None draws a thin outline for a side that does not work now."""
    outline = _half(left, width, height, top)
    stroke = ft.PaintingStyle.STROKE
    if fraction is None:
        thin = ft.Paint(color=Role.LINE_STRONG, stroke_width=1.5, style=stroke)
        return [polygon(outline, thin)]
    edge = ft.Paint(color=Role.WORK, stroke_width=4, style=stroke, stroke_join=ft.StrokeJoin.MITER)
    shapes: list[cv.Shape] = [polygon(outline, ft.Paint(color=Role.ACCENT_SOFT))]
    filled = _below(outline, top + height * (1 - fraction))
    if fraction > 0 and len(filled) > 2:
        shapes.append(polygon(filled, ft.Paint(color=Role.WORK)))
    return [*shapes, polygon(outline, edge)]


def side_drawing(side: ShownSide, fraction: float, *, height: float = 96) -> ft.Control:
    """The drawing alone. ``fraction`` is the share of this side's time that has passed, 0 to 1."""
    width = height * 0.8
    done = min(1.0, max(0.0, fraction))
    if side == "turns":
        step = height * _STEP
        shapes = _half_shapes(True, done, width, height - step)
        shapes += _half_shapes(False, done, width, height - step, top=step)
    else:
        left = done if side in ("left", "both") else None
        right = done if side in ("right", "both") else None
        shapes = [*_half_shapes(True, left, width, height), *_half_shapes(False, right, width, height)]
    return ft.Container(width=width, height=height, content=cv.Canvas(shapes=shapes))


def side_shape(
    side: ShownSide, fraction: float, *, height: float = 96, word_size: int = Type.DIGITS
) -> ft.Control:
    """The drawing with its word. A screen reader says the word alone, when the side changes."""
    size = Type.FAR if side == "turns" else word_size
    word = words(say(SIDE_WORD[side]), size=size, strong=True, name=say(_SPOKEN[side]))
    word.style = word.style.copy(height=1) if word.style else None
    spoken = ft.Semantics(identifier="side", live_region=True, container=True, content=word)
    drawn = ft.Semantics(exclude_semantics=True, content=side_drawing(side, fraction, height=height))
    return ft.Row([drawn, spoken], spacing=Space.L, alignment=ft.MainAxisAlignment.CENTER, wrap=True)
