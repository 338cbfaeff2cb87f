"""Charts of a week beside the weeks before it. Screen readers get the sentence of each instead.

An outline is all that was planned or done; the filled part is what was done, or was hard; what nobody rated
is dashed. The week in question comes last, with its number in bold.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import flet as ft
import flet.canvas as cv

from companion.views.controls.parts import words
from companion.views.controls.text_scale import use_text_scale
from companion.views.controls.theme import Role, Space
from companion.views.drawings.paint import dashed_paint, line_paint, text_at
from companion.words.saying import say, words_here

WIDTH_PX = 300
HEIGHT_PX = 72
COLUMN_PX = 32
DOT_PX = 5
SIDE_BAR_PX = 18
TEXT_PX = 15
LARGEST_TEXT = 1.6
"""Text scale up to which figures fit their columns. The sentence below keeps growing."""

Shapes = tuple[list[cv.Shape], float]


class _Columns:
    """Where the columns lie, in px, between a row of figures above and one of week numbers below."""

    def __init__(self, count: int, text_px: float, *, above: float = 0) -> None:
        self.text_px, self.pitch = text_px, WIDTH_PX / count
        self.top = text_px * 1.2 + 4 + above
        self.foot = self.top + HEIGHT_PX
        self.height = self.foot + text_px * 1.2 + 6

    def middle(self, number: int) -> float:
        return (number + 0.5) * self.pitch

    def at(self, share: float) -> float:
        """The y of a share of the height, 0 at the foot to 1 at the top."""
        return self.foot - HEIGHT_PX * min(1.0, max(0.0, share))

    def labels(self, weeks: Sequence[str]) -> list[cv.Shape]:
        """The ground line with the number of each week below."""
        numbers: list[cv.Shape] = [
            text_at(
                week[-2:].lstrip("0"),
                self.middle(number),
                self.foot + 4,
                size=self.text_px,
                at=ft.Alignment.TOP_CENTER,
                strong=number == len(weeks) - 1,
            )
            for number, week in enumerate(weeks)
        ]
        return [cv.Line(0, self.foot, WIDTH_PX, self.foot, paint=line_paint(Role.INK)), *numbers]

    def figure(self, said: str, number: int, y: float, *, last: bool) -> cv.Shape:
        foot = ft.Alignment.BOTTOM_CENTER
        return text_at(said, self.middle(number), y - 3, size=self.text_px, at=foot, strong=last)


def column_shapes(
    weeks: Sequence[str],
    wholes: Sequence[float],
    parts: Sequence[float],
    unrated: Sequence[float] = (),
    *,
    text_px: float = TEXT_PX,
) -> Shapes:
    """A column for each week, as high as its whole, filled up to its part, and dashed at its top for what
    nobody rated; its figure stands above."""
    at, most = _Columns(len(weeks), text_px), max(wholes, default=0)
    shapes: list[cv.Shape] = []
    dashed = unrated or [0] * len(wholes)
    for number, (whole, part, unsaid) in enumerate(zip(wholes, parts, dashed, strict=True)):
        if whole <= 0 or most <= 0:
            continue
        left, top = at.middle(number) - COLUMN_PX / 2, at.at(whole / most)
        rated, filled = at.at((whole - unsaid) / most), at.at(part / most)
        shapes.append(cv.Rect(left, filled, COLUMN_PX, at.foot - filled, paint=ft.Paint(color=Role.WORK)))
        for y, foot, paint in ((rated, at.foot, line_paint(Role.INK)), (top, rated, dashed_paint(Role.INK))):
            if foot > y:
                shapes.append(cv.Rect(left, y, COLUMN_PX, foot - y, paint=paint))
        shapes.append(
            at.figure(words_here().argument(round(whole, 1)), number, top, last=number == len(weeks) - 1)
        )
    return [*shapes, *at.labels(weeks)], at.height


def line_shapes(
    weeks: Sequence[str], values: Sequence[float | None], said: Sequence[str], *, text_px: float = TEXT_PX
) -> Shapes:
    """A dot for each week that has a value, on a scale from 0. A line joins the dots of successive weeks."""
    at = _Columns(len(weeks), text_px, above=DOT_PX)
    most = max((value for value in values if value is not None), default=0) or 1
    dots = {n: (at.middle(n), at.at(value / most)) for n, value in enumerate(values) if value is not None}
    shapes: list[cv.Shape] = [
        cv.Line(*dots[n], *dots[then], paint=line_paint(Role.WORK, 2))
        for n, then in pairwise(dots)
        if then == n + 1
    ]
    for number, (x, y) in dots.items():
        shapes.append(cv.Circle(x, y, DOT_PX, paint=ft.Paint(color=Role.WORK)))
        shapes.append(at.figure(said[number], number, y - DOT_PX, last=number == len(weeks) - 1))
    return [*shapes, *at.labels(weeks)], at.height


def effort_shapes(
    weeks: Sequence[str], efforts: Sequence[Sequence[float]], *, text_px: float = TEXT_PX
) -> Shapes:
    """A dot for the effort of each session, from 0 at the foot to 10 at the upper line."""
    at = _Columns(len(weeks), text_px)
    shapes: list[cv.Shape] = [
        cv.Line(0, at.top, WIDTH_PX, at.top, paint=line_paint(Role.LINE)),
        cv.Line(0, at.at(0.5), WIDTH_PX, at.at(0.5), paint=line_paint(Role.LINE)),
        text_at("10", WIDTH_PX, at.top - 2, size=text_px, at=ft.Alignment.BOTTOM_RIGHT),
    ]
    for number, of_week in enumerate(efforts):
        for place, effort in enumerate(of_week):
            x = at.middle(number) + (place - (len(of_week) - 1) / 2) * (2 * DOT_PX + 1)
            shapes.append(cv.Circle(x, at.at(effort / 10), DOT_PX, paint=ft.Paint(color=Role.WORK)))
    return [*shapes, *at.labels(weeks)], at.height


def side_shapes(left: float, right: float, *, text_px: float = TEXT_PX) -> Shapes:
    """Two bars from the middle outwards, as long as what each side did; the words are at the outer edges."""
    middle, most = WIDTH_PX / 2, max(left, right) or 1
    top, length = text_px * 1.2 + 4, WIDTH_PX / 2 - 2
    foot, ink = top + SIDE_BAR_PX, ft.Paint(color=Role.WORK)
    to_left, to_right = length * left / most, length * right / most
    return [
        text_at(say("left"), 0, 0, size=text_px, at=ft.Alignment.TOP_LEFT),
        text_at(say("right"), WIDTH_PX, 0, size=text_px, at=ft.Alignment.TOP_RIGHT),
        cv.Rect(middle - to_left, top, to_left, SIDE_BAR_PX, paint=ink),
        cv.Rect(middle, top, to_right, SIDE_BAR_PX, paint=ink),
        cv.Line(middle, top - 4, middle, foot + 4, paint=line_paint(Role.INK, 3)),
    ], foot + 6


def share_shapes(amount: float, most: float, *, text_px: float = TEXT_PX) -> Shapes:  # noqa: ARG001
    """A bar as long as its share of the longest. It holds no text, so the size of text changes nothing."""
    length = WIDTH_PX * amount / most if most > 0 else 0
    return [cv.Rect(0, 0, length, SIDE_BAR_PX, paint=ft.Paint(color=Role.WORK))], SIDE_BAR_PX


@ft.component
def picture(draw: Callable[..., Shapes], sentence: str) -> ft.Control:
    """A chart with its sentence below; ``draw`` is called with the size of the text as ``text_px``."""
    scale, probe = use_text_scale()
    shapes, height = draw(text_px=TEXT_PX * min(scale, LARGEST_TEXT))
    canvas = cv.Canvas(shapes=shapes, width=WIDTH_PX, height=height)
    drawn = ft.Semantics(exclude_semantics=True, content=canvas)
    return ft.Column([ft.Stack([probe, drawn]), words(sentence)], spacing=Space.XS, tight=True)
