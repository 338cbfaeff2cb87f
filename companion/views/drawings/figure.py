"""A figure of lines on which to point at the joint that hurts. The list beside it says the same in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeAlias

import flet as ft
import flet.canvas as cv

from companion.style.words import joint_words
from companion.views.controls.buttons import Tone, bound, button_style, quiet_button
from companion.views.controls.parts import words
from companion.views.controls.theme import FONT_STRONG, TOUCH_PX, Role, Space, Type
from companion.words.saying import msgid, say
from engine.movements.movement import JOINT_POINTS, Joint, Side

Point: TypeAlias = tuple[Joint, Side | None]
OnChoose: TypeAlias = Callable[[Joint, Side | None], Any]

WIDTH, HEIGHT = 300, 448
MIRROR = msgid("as in a mirror")
_ON_THE_LEFT = {
    Joint.neck: (150, 72),
    Joint.shoulder: (94, 106),
    Joint.elbow: (58, 176),
    Joint.wrist: (34, 244),
    Joint.low_back: (150, 186),
    Joint.hip: (114, 244),
    Joint.knee: (106, 334),
    Joint.ankle: (102, 420),
}
"""The centre of each point in px; of paired joints the left one, which is on the left as in a mirror."""
_LIMBS = (
    (Joint.neck, Joint.low_back),
    (Joint.shoulder, Joint.elbow),
    (Joint.elbow, Joint.wrist),
    (Joint.hip, Joint.knee),
    (Joint.knee, Joint.ankle),
)
_HEAD = (150, 32, 26)
_DOT_PX = 13
_BESIDE: tuple[ft.ResponsiveNumber, ft.ResponsiveNumber] = (
    {ft.ResponsiveRowBreakpoint.XS: 12, ft.ResponsiveRowBreakpoint.LG: 8},
    {ft.ResponsiveRowBreakpoint.XS: 12, ft.ResponsiveRowBreakpoint.LG: 4},
)


def centre(joint: Joint, side: Side | None) -> tuple[int, int]:
    """The centre of a point, in px from the upper left corner of the picture."""
    x, y = _ON_THE_LEFT[joint]
    return (WIDTH - x if side is Side.right else x), y


def joint_points(chosen: Point | None, on_choose: OnChoose, *, said: Mapping[Point, int]) -> ft.Control:
    """The picture and the list of every point; ``said`` holds the ratings given so far, 0 to 10."""
    picture = ft.Container(
        joint_picture(chosen, on_choose, said=said), alignment=ft.Alignment.TOP_CENTER, col=_BESIDE[0]
    )
    listed = ft.Row(
        [_listed(point, chosen, on_choose, said) for point in JOINT_POINTS],
        wrap=True,
        spacing=Space.S,
        run_spacing=Space.S,
        col=_BESIDE[1],
    )
    return ft.ResponsiveRow([picture, listed], spacing=Space.M, run_spacing=Space.M)


def _listed(
    point: Point,
    chosen: Point | None,
    on_choose: OnChoose,
    said: Mapping[Point, int],
) -> ft.Control:
    word, number = joint_words(*point), said.get(point)
    told = say("{joint}: {number}", joint=word, number=number) if number else word
    tone: Tone = "caution" if number or point == chosen else "plain"
    return quiet_button(told, bound(on_choose, *point), tone=tone)


def joint_picture(chosen: Point | None, on_choose: OnChoose, *, said: Mapping[Point, int]) -> ft.Control:
    """The picture alone; every point is a button with a name."""
    points = [_point(point, point == chosen, said.get(point), on_choose) for point in JOINT_POINTS]
    left, right = (
        words(text, size=Type.CAPTION, colour=Role.INK_SOFT) for text in (say("left"), say("right"))
    )
    corners = [ft.Container(left, left=0, top=0), ft.Container(right, right=0, top=0)]
    lines = cv.Canvas(shapes=list(figure_shapes()), width=WIDTH, height=HEIGHT)
    stack: Sequence[ft.Control] = [ft.Container(lines), *corners, *points]
    return ft.Stack(list(stack), width=WIDTH, height=HEIGHT)


def figure_shapes() -> list[cv.Shape]:
    """A head, a spine and limbs, as lines."""
    paint = ft.Paint(
        color=Role.LINE_STRONG, stroke_width=3, style=ft.PaintingStyle.STROKE, stroke_cap=ft.StrokeCap.ROUND
    )
    ends = [(centre(a, side), centre(b, side)) for a, b in _LIMBS for side in (Side.left, Side.right)]
    across = [(centre(j, Side.left), centre(j, Side.right)) for j in (Joint.shoulder, Joint.hip)]
    ends += [*across, ((150, 186), (150, 244)), ((150, 58), (150, 72))]
    lines: list[cv.Shape] = [cv.Line(*start, *end, paint=paint) for start, end in ends]
    return [cv.Circle(*_HEAD, paint=paint), *lines]


def _point(point: Point, chosen: bool, number: int | None, on_choose: OnChoose) -> ft.Control:
    """A dot as large as a touch target: filled once it has a rating, with a ring while it is chosen."""
    x, y = centre(*point)
    look = button_style(
        ground=ft.Colors.TRANSPARENT,
        pressed=Role.SUNK,
        label=Role.INK,
        border=ft.Colors.TRANSPARENT,
        padding=ft.Padding.all(0),
        ring=ft.BorderSideStrokeAlign.INSIDE,
    )
    look.shape = ft.CircleBorder()
    dot = cv.Canvas(shapes=_dot(chosen, number), width=TOUCH_PX, height=TOUCH_PX)
    name = say("point {joint}", joint=joint_words(*point))
    if number:
        name = say("point {joint}: {number}", joint=joint_words(*point), number=number)
    named = ft.Semantics(label=name, exclude_semantics=True, content=dot)
    button = ft.Button(
        content=named, on_click=bound(on_choose, *point), style=look, width=TOUCH_PX, height=TOUCH_PX
    )
    held = ft.MergeSemantics(ft.Semantics(selected=chosen, content=button))
    return ft.Container(held, left=x - TOUCH_PX / 2, top=y - TOUCH_PX / 2)


def _dot(chosen: bool, number: int | None) -> list[cv.Shape]:
    middle, filled = TOUCH_PX / 2, chosen or bool(number)
    edge = ft.Paint(
        color=Role.CAUTION if filled else Role.INK, stroke_width=2.5, style=ft.PaintingStyle.STROKE
    )
    ground = ft.Paint(color=Role.CAUTION if filled else Role.SURFACE)
    shapes: list[cv.Shape] = [
        cv.Circle(middle, middle, _DOT_PX, paint=ground),
        cv.Circle(middle, middle, _DOT_PX, paint=edge),
    ]
    if chosen:
        shapes.append(cv.Circle(middle, middle, _DOT_PX + 5, paint=edge))
    if number:
        look = ft.TextStyle(size=Type.BODY, height=1, color=Role.BACKGROUND, font_family=FONT_STRONG)
        shapes.append(cv.Text(middle, middle, str(number), style=look, alignment=ft.Alignment.CENTER))
    return shapes
