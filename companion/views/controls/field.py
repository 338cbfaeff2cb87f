"""A box to write in, alone or with the button that takes what was written. It holds nothing else."""

from __future__ import annotations

import inspect
from collections.abc import Awaitable, Callable
from typing import Any

import flet as ft

from companion.views.controls.buttons import Handler, Tone, bound, quiet_button
from companion.views.controls.parts import words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import (
    BORDER_PX,
    FOCUS_PX,
    RADIUS,
    TOUCH_PX,
    Role,
    Space,
    Type,
    style,
    touch_padding,
)
from companion.words.faults import why
from companion.words.saying import say


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
    """A labelled box to write in. `fault` says what is wrong; `suffix` is a unit; `on_change` gets the text.

    `on_inside` is told when the keyboard comes into the box and when it leaves. The box may be drawn again
    while somebody writes: it keeps what is written, letter for letter, because a text that came back late
    would undo the next letters. To show another text, give the box another `key`.
    """
    drawn: ft.MutableRef[ft.TextField | None] = ft.use_ref(None)
    drawn.current = ft.TextField(
        value=value if drawn.current is None else drawn.current.value,
        on_change=_with_text(on_change),
        on_focus=bound(on_inside, True) if on_inside else None,
        on_blur=bound(on_inside, False) if on_inside else None,
        suffix=words(suffix, colour=Role.INK_SOFT) if suffix else None,
        hint_text=hint,
        keyboard_type=ft.KeyboardType.NUMBER if number else ft.KeyboardType.TEXT,
        multiline=lines > 1,
        min_lines=lines,
        **_look(in_fault=bool(fault)),
    )
    return _labelled(drawn.current, label, fault)


def _with_text(on_change: Handler) -> Handler:
    """The handler with the field's text in place of the event; async stays async."""
    if inspect.iscoroutinefunction(on_change):

        async def later(event: ft.Event[ft.TextField]) -> None:
            await on_change(event.control.value)

        return later
    return lambda event: on_change(event.control.value)


def _look(*, in_fault: bool) -> dict[str, Any]:
    """What makes a text field of Flet's look like ours."""
    edge = _edge(Role.DANGER, 2) if in_fault else _edge(Role.LINE_STRONG, BORDER_PX)
    return {
        "text_style": style(Type.LEAD),
        "hint_style": style(colour=Role.INK_SOFT),
        "bgcolor": Role.SURFACE,
        "filled": True,
        "border": {ft.ControlState.FOCUSED: _edge(Role.FOCUS, FOCUS_PX), ft.ControlState.DEFAULT: edge},
        "cursor_color": Role.INK,
        "selection_color": Role.ACCENT_SOFT,
        "content_padding": touch_padding(Type.LEAD, at_least=TOUCH_PX + Space.S, sideways=Space.M),
    }


def _edge(colour: str, width: float) -> ft.InputBorder:
    return ft.OutlineInputBorder(border_radius=RADIUS, side=ft.BorderSide(width, colour))


def _labelled(box: ft.TextField, label: str, fault: str | None) -> ft.Control:
    """The box under its label and over its fault; a screen reader hears all of it with the box."""
    below = (
        [words(say("Check: {fault}", fault=fault), size=Type.CAPTION, strong=True, colour=Role.DANGER)]
        if fault
        else []
    )
    spoken = say("{label}. Check: {fault}", label=label, fault=fault) if fault else label
    named = ft.MergeSemantics(content=ft.Semantics(label=spoken, content=box))
    title = ft.Semantics(exclude_semantics=True, content=words(label, strong=True))
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column([title, named, *below], spacing=Space.XS, tight=True, horizontal_alignment=stretch)


@safe_component
def entry(
    label: str,
    button: str,
    on_add: Callable[[str], Awaitable[None]],
    *,
    number: bool = False,
    tone: Tone = "plain",
) -> ft.Control:
    """A box, and the button that hands what is written to ``on_add``.

    ``on_add`` raises ValueError with one sentence if it cannot take it; the sentence is shown under the box.
    """
    written: ft.MutableRef[str] = ft.use_ref("")
    fault, set_fault = ft.use_state("")
    taken, set_taken = ft.use_state(0)

    def write(text: str) -> None:
        written.current = text

    async def add() -> None:
        try:
            await on_add(written.current)
        except ValueError as wrong:
            set_fault(why(wrong))
            return
        written.current = ""
        set_fault("")
        set_taken(taken + 1)

    box = field(label, "", write, fault=fault or None, number=number, key=f"{taken}")
    return ft.Column(
        [box, ft.Row([quiet_button(button, add, tone=tone)])],
        spacing=Space.S,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )
