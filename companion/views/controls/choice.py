"""One of several: segments side by side for short labels, rows for long ones, large chips for figures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft
import flet.canvas as cv

from companion.views.controls.buttons import Handler, bound, button_label, button_style, line_button
from companion.views.controls.parts import group, words
from companion.views.controls.theme import RADIUS, TOUCH_MAIN_PX, TOUCH_PX, Role, Space, Type, touch_padding
from companion.words.saying import say

_MARK_PX, _MARK_LONG_PX = 4, 48


def _segment(
    label: str, on_click: Handler, *, name: str | None, chosen: bool, corners: ft.BorderRadius
) -> ft.Control:
    paint = button_style(
        ground=Role.ACCENT_SOFT if chosen else Role.SURFACE,
        pressed=Role.SUNK,
        label=Role.INK,
        border=Role.ACCENT if chosen else Role.LINE_STRONG,
        padding=touch_padding(Type.BODY, at_least=TOUCH_PX, sideways=Space.S),
        ring=ft.BorderSideStrokeAlign.INSIDE,
    )
    paint.shape = ft.RoundedRectangleBorder(radius=corners)
    colour = Role.ACCENT if chosen else ft.Colors.TRANSPARENT
    content = ft.Column(
        [
            ft.Container(height=4),
            button_label(label, strong=chosen, name=name),
            ft.Container(height=4, width=32, bgcolor=colour),
        ],
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        alignment=ft.MainAxisAlignment.CENTER,
        spacing=Space.XS,
        tight=True,
    )
    button = ft.Button(content=content, on_click=on_click, style=paint)
    return ft.MergeSemantics(content=ft.Semantics(selected=chosen, content=button), expand=1)


def _corners(first: bool, last: bool) -> ft.BorderRadius:
    left, right = (RADIUS if first else 0), (RADIUS if last else 0)
    return ft.BorderRadius(top_left=left, bottom_left=left, top_right=right, bottom_right=right)


def choice_row(
    options: Sequence[tuple[str, str]],
    chosen: str | None,
    on_choose: Callable[[str], Any],
    *,
    name: str,
    said_before: str = "",
) -> ft.Control:
    """One of a few, as adjacent segments: (value, label) pairs and the chosen value, or None.

    `said_before` is what a screen reader says before each label, if it would mean little alone (a number).

    The chosen one is bold and underlined, not only tinted, and is told to a screen reader as selected (on
    the web: a button with aria-current). Up to four short labels fit a phone.
    """
    last = len(options) - 1
    segments = [
        _segment(
            label,
            bound(on_choose, value),
            name=say("{what} {label}", what=said_before, label=label) if said_before else None,
            chosen=value == chosen,
            corners=_corners(at == 0, at == last),
        )
        for at, (value, label) in enumerate(options)
    ]
    stretch = ft.CrossAxisAlignment.STRETCH
    row = ft.Row(segments, spacing=0, vertical_alignment=stretch, intrinsic_height=True)
    return ft.Semantics(label=name, container=True, content=row)


def _choice_mark(chosen: bool) -> ft.Control:
    """A ring, with a dot if it is chosen; what can be ticked has a square instead."""
    ring = ft.Paint(
        color=Role.ACCENT if chosen else Role.LINE_STRONG, stroke_width=2, style=ft.PaintingStyle.STROKE
    )
    dot = [cv.Circle(15, 15, 8, paint=ft.Paint(color=Role.ACCENT))] if chosen else []
    return ft.Container(
        width=30, height=30, content=cv.Canvas(shapes=[cv.Circle(15, 15, 13, paint=ring), *dot])
    )


def choice_list(
    options: Sequence[tuple[str, str]], chosen: str, on_choose: Callable[[str], Any], *, name: str
) -> ft.Control:
    """One of several as rows, for labels too long to be side by side: (value, label) pairs."""
    rows: list[ft.Control] = []
    for value, label in options:
        is_chosen = value == chosen
        line = [
            _choice_mark(is_chosen),
            ft.Row([words(label, size=Type.LEAD, strong=is_chosen)], wrap=True, expand=True),
        ]
        rows.append(line_button(line, bound(on_choose, value), selected=is_chosen))
    return ft.Semantics(label=name, container=True, content=ft.Column(rows, spacing=0))


def choice_chips(
    label: str,
    options: Sequence[tuple[int, str]],
    chosen: int | None,
    on_choose: Callable[[int], Any],
) -> ft.Control:
    """`label` over its chips, which wrap: (figure, label) pairs and the chosen figure, or None.

    A chip keeps its size when it is chosen, so that none moves under the finger. The chosen one is underlined
    and tinted, and is told to a screen reader as selected.
    """
    row = ft.Row(
        [_chip(shown, bound(on_choose, figure), chosen=figure == chosen) for figure, shown in options],
        spacing=Space.S,
        run_spacing=Space.S,
        wrap=True,
    )
    return group(words(label, strong=True), ft.Semantics(label=label, container=True, content=row))


def _chip(shown: str, on_click: Callable[..., Any], *, chosen: bool) -> ft.Control:
    mark = Role.ACCENT if chosen else ft.Colors.TRANSPARENT
    content = ft.Column(
        [
            ft.Container(height=_MARK_PX, width=_MARK_LONG_PX),
            button_label(shown, size=Type.LEAD),
            ft.Container(height=_MARK_PX, width=_MARK_LONG_PX, bgcolor=mark),
        ],
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        spacing=Space.XS,
        tight=True,
    )
    around = touch_padding(Type.LEAD, at_least=TOUCH_MAIN_PX - 2 * (_MARK_PX + Space.XS))
    paint = button_style(
        ground=Role.ACCENT_SOFT if chosen else Role.SURFACE,
        pressed=Role.SUNK,
        label=Role.INK,
        border=Role.ACCENT if chosen else Role.LINE_STRONG,
        padding=around,
    )
    button = ft.Button(content=content, on_click=on_click, style=paint)
    return ft.MergeSemantics(content=ft.Semantics(selected=chosen, content=button))
