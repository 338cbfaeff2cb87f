"""Controls that take an answer: stepper, choice, tick, field. Only what is being written is held here."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft
import flet.canvas as cv

from companion.views.controls.buttons import Handler, bound, button_label, button_style
from companion.views.controls.parts import digits, words
from companion.views.controls.safe import safe_component
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import (
    BORDER_PX,
    FOCUS_PX,
    RADIUS,
    TOUCH_MAIN_PX,
    TOUCH_PX,
    Role,
    Space,
    Type,
    style,
    touch_padding,
)

_NUMBER_WORDS = {1: "one", 2: "two", 3: "three", 5: "five", 10: "ten"}


def step_name(step: int, unit: str) -> str:
    """What a screen reader says for a step: "one minute less", "five minutes more"."""
    size = abs(step)
    plural = "" if size == 1 else "s"
    return f"{_NUMBER_WORDS.get(size, str(size))} {unit}{plural} {'less' if step < 0 else 'more'}"


def step_button(label: str, on_click: Handler, *, name: str, disabled: bool) -> ft.Control:
    """A button that changes a figure by what its label says; `name` is for a screen reader."""
    return ft.Button(
        content=button_label(label, size=Type.LEAD, name=name),
        on_click=on_click,
        disabled=disabled,
        expand=True,
        style=button_style(
            ground=Role.SURFACE,
            pressed=Role.SUNK,
            label=Role.INK,
            border=Role.LINE_STRONG,
            padding=touch_padding(Type.LEAD, at_least=TOUCH_MAIN_PX, sideways=Space.S),
        ),
    )


def _step_figure(value: int, unit: str) -> ft.Control:
    """The number over its unit; a screen reader hears "25 minutes" once, and again when it changes."""
    units = unit if value == 1 else f"{unit}s"
    figure = ft.Column(
        [
            digits(str(value), name=f"{value} {units}"),
            ft.Semantics(exclude_semantics=True, content=words(units, colour=Role.INK_SOFT)),
        ],
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        spacing=0,
        tight=True,
    )
    return ft.Semantics(identifier=f"{unit}-value", live_region=True, container=True, content=figure)


def stepper_layout(figure: ft.Control, buttons: Sequence[ft.Control], *, stacked: bool) -> ft.Control:
    """The figure between its buttons, or above them where the text is large."""
    if stacked:
        figure_row = ft.Row([figure], alignment=ft.MainAxisAlignment.CENTER)
        return ft.Column([figure_row, ft.Row(list(buttons), spacing=Space.S)], spacing=Space.S, tight=True)
    half = len(buttons) // 2
    return ft.Row(
        [
            *buttons[:half],
            ft.Container(content=figure, expand=2, alignment=ft.Alignment.CENTER),
            *buttons[half:],
        ],
        spacing=Space.S,
    )


def step_buttons(
    value: int, on_change: Callable[[int], Any], *, unit: str, steps: Sequence[int], limits: tuple[int, int]
) -> list[ft.Control]:
    """One button for each step; those that would leave the limits (both included) are disabled."""
    low, high = limits
    return [
        step_button(
            f"{'−' if step < 0 else '+'}{abs(step)}",
            bound(on_change, value + step),
            name=step_name(step, unit),
            disabled=not low <= value + step <= high,
        )
        for step in steps
    ]


@ft.component
def stepper(
    value: int,
    on_change: Callable[[int], Any],
    *,
    unit: str = "minute",
    steps: Sequence[int] = (-5, -1, 1, 5),
    low: int = 0,
    high: int = 240,
) -> ft.Control:
    """A whole number between buttons that change it; `on_change` gets the new value, within [low, high].

    `unit` in the singular names the steps for a screen reader and stands under the figure. Give as many steps
    down as up, in order.
    """
    scale, probe = use_text_scale()
    buttons = step_buttons(value, on_change, unit=unit, steps=steps, limits=(low, high))
    return ft.Stack([probe, stepper_layout(_step_figure(value, unit), buttons, stacked=scale >= LARGE)])


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

    `said_before` is what a screen reader says before each label that would not speak alone (a bare number).

    The chosen one is bold and underlined, not only tinted, and is told to a screen reader as selected (on
    the web: a button with aria-current). Up to four short labels fit a phone.
    """
    last = len(options) - 1
    segments = [
        _segment(
            label,
            bound(on_choose, value),
            name=f"{said_before} {label}" if said_before else None,
            chosen=value == chosen,
            corners=_corners(at == 0, at == last),
        )
        for at, (value, label) in enumerate(options)
    ]
    stretch = ft.CrossAxisAlignment.STRETCH
    row = ft.Row(segments, spacing=0, vertical_alignment=stretch, intrinsic_height=True)
    return ft.Semantics(label=name, container=True, content=row)


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


def _choice_mark(chosen: bool) -> ft.Control:
    """A ring, with a dot where it is the one that holds: not the square of what can be ticked besides."""
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
    """One of several as rows, where labels are too long to stand side by side: (value, label) pairs."""
    rows: list[ft.Control] = []
    for value, label in options:
        held = value == chosen
        line = [
            _choice_mark(held),
            ft.Row([words(label, size=Type.LEAD, strong=held)], wrap=True, expand=True),
        ]
        rows.append(line_button(line, bound(on_choose, value), selected=held))
    return ft.Semantics(label=name, container=True, content=ft.Column(rows, spacing=0))


def line_button(
    cells: Sequence[ft.Control],
    on_click: Handler,
    *,
    ink: str = Role.INK,
    selected: bool | None = None,
    checked: bool | None = None,
) -> ft.Control:
    """A whole line as one target."""
    paint = button_style(
        ground=ft.Colors.TRANSPARENT,
        pressed=Role.SUNK,
        label=ink,
        border=ft.Colors.TRANSPARENT,
        padding=touch_padding(Type.LEAD, at_least=TOUCH_PX + Space.S, sideways=Space.S),
    )
    row = ft.Button(content=ft.Row(list(cells), spacing=Space.M), on_click=on_click, style=paint)
    return ft.MergeSemantics(content=ft.Semantics(selected=selected, checked=checked, content=row))


def tick_row(
    label: str,
    done: bool,
    on_toggle: Callable[[bool], Any],
    *,
    dose: str | None = None,
    hint: str | None = None,
) -> ft.Control:
    """One line of a checklist; the whole row is the target. `dose` stands at the right, `hint` below."""
    ink = Role.INK_SOFT if done else Role.INK
    texts: list[ft.Control] = [words(label, size=Type.LEAD, strong=not done, colour=ink)]
    if hint:
        texts.append(words(hint, size=Type.CAPTION, colour=Role.INK_SOFT))
    cells: list[ft.Control] = [_tick_box(done), ft.Column(texts, spacing=2, tight=True, expand=True)]
    if dose:
        cells.append(words(dose, colour=ink))
    return line_button(cells, bound(on_toggle, not done), ink=ink, checked=done)


def _box_edge(colour: str, width: float) -> ft.InputBorder:
    return ft.OutlineInputBorder(border_radius=RADIUS, side=ft.BorderSide(width, colour))


def _with_text(on_change: Handler) -> Handler:
    """The handler with the field's text in place of the event; async stays async."""
    if inspect.iscoroutinefunction(on_change):

        async def later(event: ft.Event[ft.TextField]) -> None:
            await on_change(event.control.value)

        return later
    return lambda event: on_change(event.control.value)


@safe_component
def field(
    label: str,
    value: str,
    on_change: Callable[[str], Any],
    *,
    suffix: str | None = None,
    hint: str | None = None,
    fault: str | None = None,
    number: bool = False,
    lines: int = 1,
    on_inside: Callable[[bool], Any] | None = None,
) -> ft.Control:
    """A labelled box to write in. `fault` says what is wrong; `suffix` is a unit; `on_change` gets text.

    `on_inside` is told when the keyboard comes into the box and when it leaves. It may be drawn again while
    somebody writes: what is written stays, letter for letter, for a text that came back late would undo the
    next letters. Another text needs another `key`.
    """
    drawn: ft.MutableRef[ft.TextField | None] = ft.use_ref(None)
    edge = _box_edge(Role.DANGER, 2) if fault else _box_edge(Role.LINE_STRONG, BORDER_PX)
    box = ft.TextField(
        value=value if drawn.current is None else drawn.current.value,
        on_change=_with_text(on_change),
        on_focus=bound(on_inside, True) if on_inside else None,
        on_blur=bound(on_inside, False) if on_inside else None,
        suffix=words(suffix, colour=Role.INK_SOFT) if suffix else None,
        hint_text=hint,
        hint_style=style(colour=Role.INK_SOFT),
        keyboard_type=ft.KeyboardType.NUMBER if number else ft.KeyboardType.TEXT,
        multiline=lines > 1,
        min_lines=lines,
        text_style=style(Type.LEAD),
        bgcolor=Role.SURFACE,
        filled=True,
        border={ft.ControlState.FOCUSED: _box_edge(Role.FOCUS, FOCUS_PX), ft.ControlState.DEFAULT: edge},
        cursor_color=Role.INK,
        selection_color=Role.ACCENT_SOFT,
        content_padding=touch_padding(Type.LEAD, at_least=TOUCH_PX + Space.S, sideways=Space.M),
    )
    drawn.current = box
    below = [words(f"Check: {fault}", size=Type.CAPTION, strong=True, colour=Role.DANGER)] if fault else []
    spoken = f"{label}. Check: {fault}" if fault else label
    named = ft.MergeSemantics(content=ft.Semantics(label=spoken, content=box))
    title = ft.Semantics(exclude_semantics=True, content=words(label, strong=True))
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column([title, named, *below], spacing=Space.XS, tight=True, horizontal_alignment=stretch)
