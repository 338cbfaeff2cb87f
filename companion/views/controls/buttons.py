"""Buttons, and the one button style of everything that can be tapped."""

import inspect
from collections.abc import Callable, Sequence
from typing import Any, Literal

import flet as ft

from companion.views.controls.theme import (
    BORDER_PX,
    FOCUS_PX,
    LABEL_HEIGHT,
    RADIUS,
    TOUCH_MAIN_PX,
    TOUCH_PX,
    Role,
    Space,
    Type,
    style,
    touch_padding,
)
from engine.base.printable import printable_lines

Handler = Callable[..., Any]
Tone = Literal["plain", "caution", "danger"]


def bound(handler: Handler, *args: Any) -> Handler:
    """The handler with its arguments, as a function that Flet calls without an event; async stays async."""
    if inspect.iscoroutinefunction(handler):

        async def later() -> None:
            await handler(*args)

        return later
    return lambda: handler(*args)


def ignoring_value(handler: Handler, *args: Any) -> Callable[[Any], Any]:
    """The handler with its arguments, for a control that tells it a value which it does not need."""
    call = bound(handler, *args)
    if inspect.iscoroutinefunction(call):

        async def later(_: object) -> None:
            await call()

        return later
    return lambda _: call()


def button_style(
    *,
    ground: str,
    pressed: str,
    label: str,
    border: str,
    padding: ft.Padding,
    ring: ft.BorderSideStrokeAlign = ft.BorderSideStrokeAlign.OUTSIDE,
) -> ft.ButtonStyle:
    """Flat: no shadow, no ripple. Pressing changes the ground; a thick ring shows where the keyboard is."""
    state = ft.ControlState
    return ft.ButtonStyle(
        color={state.DISABLED: Role.DISABLED, state.DEFAULT: label},
        bgcolor={
            state.DISABLED: Role.SUNK,
            state.PRESSED: pressed,
            state.HOVERED: pressed,
            state.DEFAULT: ground,
        },
        overlay_color=ft.Colors.TRANSPARENT,
        elevation=0,
        animation_duration=0,
        padding=padding,
        side={
            state.FOCUSED: ft.BorderSide(FOCUS_PX, Role.FOCUS, stroke_align=ring),
            state.DISABLED: ft.BorderSide(BORDER_PX, Role.DISABLED),
            state.DEFAULT: ft.BorderSide(BORDER_PX, border),
        },
        shape=ft.RoundedRectangleBorder(radius=RADIUS),
        visual_density=ft.VisualDensity.STANDARD,
    )


def button_label(
    text: str, *, size: int = Type.BODY, strong: bool = True, name: str | None = None
) -> ft.Text:
    """A label that takes its colour from the button's state; `name` is what a screen reader says instead."""
    look = style(size, strong=strong, colour=None, height=LABEL_HEIGHT)
    spoken = None if name is None else printable_lines(name)
    return ft.Text(printable_lines(text), style=look, text_align=ft.TextAlign.CENTER, semantics_label=spoken)


def primary_button(
    label: str,
    on_click: Handler | None,
    *,
    name: str | None = None,
    disabled: bool = False,
    expand: bool | int = False,
    autofocus: bool = False,
) -> ft.Control:
    """The one main action of a screen: filled, 64 px or more. Put `expand=True` inside a row.

    With ``autofocus`` the keyboard comes to it wherever its label is a new one and nothing else has the
    keyboard, also when the button that had it went away with the screen before.
    """
    return ft.Button(
        content=button_label(label, size=Type.LEAD, name=name),
        on_click=on_click,
        autofocus=autofocus,
        key=label if autofocus else None,
        disabled=disabled,
        expand=expand or None,
        style=button_style(
            ground=Role.ACCENT,
            pressed=Role.ACCENT_PRESSED,
            label=Role.ON_ACCENT,
            border=Role.ACCENT,
            padding=touch_padding(Type.LEAD, at_least=TOUCH_MAIN_PX),
        ),
    )


_TONE = {
    "plain": (Role.SURFACE, Role.INK, Role.LINE_STRONG),
    "caution": (Role.CAUTION_SOFT, Role.CAUTION, Role.CAUTION),
    "danger": (Role.DANGER_SOFT, Role.DANGER, Role.DANGER),
}


def quiet_button(
    label: str,
    on_click: Handler | None,
    *,
    name: str | None = None,
    tone: Tone = "plain",
    tall: bool = False,
    disabled: bool = False,
    expand: bool | int = False,
) -> ft.Control:
    """Any other action: outlined, 48 px or more; 64 if `tall` (beside a main action, or hit out of breath).

    Tone "caution" is for pain, "danger" for an urgent sign.
    """
    ground, ink, border = _TONE[tone]
    size, at_least = (Type.LEAD, TOUCH_MAIN_PX) if tall else (Type.BODY, TOUCH_PX)
    return ft.Button(
        content=button_label(label, size=size, name=name),
        on_click=on_click,
        disabled=disabled,
        expand=expand or None,
        style=button_style(
            ground=ground,
            pressed=Role.SUNK,
            label=ink,
            border=border,
            padding=touch_padding(size, at_least=at_least, sideways=Space.S if tall else Space.M),
        ),
    )


def line_button(
    cells: Sequence[ft.Control],
    on_click: Handler,
    *,
    ink: str = Role.INK,
    selected: bool | None = None,
    checked: bool | None = None,
) -> ft.Control:
    """A line that is one button as a whole."""
    paint = button_style(
        ground=ft.Colors.TRANSPARENT,
        pressed=Role.SUNK,
        label=ink,
        border=ft.Colors.TRANSPARENT,
        padding=touch_padding(Type.LEAD, at_least=TOUCH_PX + Space.S, sideways=Space.S),
    )
    row = ft.Button(content=ft.Row(list(cells), spacing=Space.M), on_click=on_click, style=paint)
    return ft.MergeSemantics(content=ft.Semantics(selected=selected, checked=checked, content=row))


def folded(title: str, content: Sequence[ft.Control], is_open: bool, on_click: Handler) -> ft.Control:
    """A line that shows what belongs to it when it is pressed, and hides it again."""
    label = quiet_button(title, on_click, expand=True)
    line = ft.Semantics(expanded=is_open, content=ft.Row([label]))
    shown = list(content) if is_open else []
    return ft.Column([line, *shown], spacing=Space.S, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def button_row(*buttons: ft.Control, key: str | None = None) -> ft.Control:
    """Buttons side by side, in further rows where they do not fit one.

    A ``key`` keeps the keyboard on its button when what lies above the row changes.
    """
    return ft.Row(list(buttons), key=key, wrap=True, spacing=Space.S, run_spacing=Space.S)
