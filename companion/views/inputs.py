"""Controls that take an answer: stepper, choice, tick, field. The value comes in, the handler is told the next."""

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft
import flet.canvas as cv

from companion.views.parts import Handler, button_style, digits, words
from companion.views.theme import (
    BORDER_PX,
    FOCUS_PX,
    LABEL_HEIGHT,
    RADIUS,
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


def _step_button(
    step: int, value: int, on_change: Callable[[int], Any], *, unit: str, disabled: bool
) -> ft.Control:
    sign = "−" if step < 0 else "+"
    label = style(Type.LEAD, strong=True, height=LABEL_HEIGHT).copy()
    label.color = None
    return ft.Button(
        content=ft.Text(
            f"{sign}{abs(step)}", style=label, no_wrap=True, semantics_label=step_name(step, unit)
        ),
        on_click=lambda: on_change(value + step),
        disabled=disabled,
        style=button_style(
            ground=Role.SURFACE,
            pressed=Role.SUNK,
            label=Role.INK,
            border=Role.LINE_STRONG,
            padding=touch_padding(Type.LEAD, at_least=TOUCH_PX + Space.S, sideways=Space.S),
            size=Type.LEAD,
        ),
    )


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

    `unit` in the singular names the steps for a screen reader and stands under the figure.
    """

    def button(step: int) -> ft.Control:
        within = low <= value + step <= high
        return _step_button(step, value, on_change, unit=unit, disabled=not within)

    named = f"{value} {unit}{'' if value == 1 else 's'}"
    figure = ft.Column(
        [digits(str(value), name=named), words(unit if value == 1 else f"{unit}s", colour=Role.INK_SOFT)],
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        spacing=0,
        tight=True,
    )
    middle = ft.Semantics(
        identifier=f"{unit}-value",
        live_region=True,
        container=True,
        content=ft.MergeSemantics(content=figure),
    )
    return ft.Row(
        [
            ft.Row([button(step) for step in steps if step < 0], spacing=Space.S, tight=True),
            middle,
            ft.Row([button(step) for step in steps if step > 0], spacing=Space.S, tight=True),
        ],
        alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
        spacing=Space.S,
        run_spacing=Space.S,
        wrap=True,
    )


def _segment(label: str, on_click: Handler | None, *, chosen: bool, place: tuple[bool, bool]) -> ft.Control:
    first, last = place
    look = style(Type.BODY, strong=chosen, height=LABEL_HEIGHT).copy()
    look.color = None
    paint = button_style(
        ground=Role.ACCENT_SOFT if chosen else Role.SURFACE,
        pressed=Role.SUNK,
        label=Role.INK,
        border=Role.ACCENT if chosen else Role.LINE_STRONG,
        padding=touch_padding(Type.BODY, at_least=TOUCH_PX + Space.S, sideways=Space.S),
    )
    left, right = (RADIUS if first else 0), (RADIUS if last else 0)
    corners = ft.BorderRadius(top_left=left, bottom_left=left, top_right=right, bottom_right=right)
    paint.shape = ft.RoundedRectangleBorder(radius=corners)
    underline = ft.Container(height=4, width=28, bgcolor=Role.ACCENT if chosen else ft.Colors.TRANSPARENT)
    content = ft.Column(
        [ft.Text(label, style=look, text_align=ft.TextAlign.CENTER), underline],
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        spacing=Space.XS,
        tight=True,
    )
    button = ft.Button(content=content, on_click=on_click, style=paint)
    return ft.MergeSemantics(content=ft.Semantics(checked=chosen, content=button), expand=1)


def choice_row(
    options: Sequence[tuple[str, str]], chosen: str | None, on_choose: Callable[[str], Any], *, name: str
) -> ft.Control:
    """One of a few, as adjacent segments: (value, label) pairs and the chosen value, or None.

    The chosen one is bold and underlined, not only tinted, and is told to a screen reader as checked.
    """
    last = len(options) - 1
    segments = [
        _segment(
            label, lambda value=value: on_choose(value), chosen=value == chosen, place=(i == 0, i == last)
        )
        for i, (value, label) in enumerate(options)
    ]
    row = ft.Row(segments, spacing=0, vertical_alignment=ft.CrossAxisAlignment.STRETCH, intrinsic_height=True)
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
    paint = button_style(
        ground=ft.Colors.TRANSPARENT,
        pressed=Role.SUNK,
        label=ink,
        border=ft.Colors.TRANSPARENT,
        padding=touch_padding(Type.LEAD, at_least=TOUCH_PX + Space.S, sideways=Space.S),
    )
    row = ft.Button(content=ft.Row(cells, spacing=Space.M), on_click=lambda: on_toggle(not done), style=paint)
    return ft.MergeSemantics(content=ft.Semantics(checked=done, content=row))


def _box_edge(colour: str, width: float) -> ft.InputBorder:
    return ft.OutlineInputBorder(border_radius=RADIUS, side=ft.BorderSide(width, colour))


def field(
    label: str,
    value: str,
    on_change: Callable[[str], Any] | None,
    *,
    suffix: str | None = None,
    hint: str | None = None,
    fault: str | None = None,
    number: bool = False,
    lines: int = 1,
    key: str | None = None,
) -> ft.Control:
    """A labelled box to write in. `fault` says what is wrong; `suffix` is a unit; `on_change` gets the text."""
    edge = _box_edge(Role.DANGER, 2) if fault else _box_edge(Role.LINE_STRONG, BORDER_PX)
    box = ft.TextField(
        value=value,
        key=key,
        on_change=(lambda event: on_change(event.control.value)) if on_change else None,
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
    below = [words(f"Check: {fault}", size=Type.CAPTION, strong=True, colour=Role.DANGER)] if fault else []
    named = ft.Semantics(
        label=label if not fault else f"{label}. Check: {fault}", container=True, content=box
    )
    title = ft.Semantics(exclude_semantics=True, content=words(label, strong=True))
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column([title, named, *below], spacing=Space.XS, tight=True, horizontal_alignment=stretch)
