"""A whole number between buttons that change it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Literal, NamedTuple

import flet as ft

from companion.views.controls.buttons import Handler, bound, button_label, button_style
from companion.views.controls.parts import digits, words
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import TOUCH_MAIN_PX, Role, Space, Type, touch_padding
from companion.words.saying import several

UnitName = Literal["minute", "second", "repetition"]


class Unit(NamedTuple):
    """What is said of a number of them, and of steps of that size."""

    shown: Callable[[int], str]
    spoken: Callable[[int], str]
    less: Callable[[int], str]
    more: Callable[[int], str]


UNITS: dict[UnitName, Unit] = {
    "minute": Unit(
        lambda n: several("minute", "minutes", n),
        lambda n: several("{count} minute", "{count} minutes", n),
        lambda n: several("{count} minute less", "{count} minutes less", n),
        lambda n: several("{count} minute more", "{count} minutes more", n),
    ),
    "second": Unit(
        lambda n: several("second", "seconds", n),
        lambda n: several("{count} second", "{count} seconds", n),
        lambda n: several("{count} second less", "{count} seconds less", n),
        lambda n: several("{count} second more", "{count} seconds more", n),
    ),
    "repetition": Unit(
        lambda n: several("repetition", "repetitions", n),
        lambda n: several("{count} repetition", "{count} repetitions", n),
        lambda n: several("{count} repetition less", "{count} repetitions less", n),
        lambda n: several("{count} repetition more", "{count} repetitions more", n),
    ),
}


def step_name(step: int, unit: UnitName) -> str:
    """What a screen reader says for a step: “1 minute less”, “5 minutes more”."""
    return UNITS[unit].less(-step) if step < 0 else UNITS[unit].more(step)


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


def _step_figure(value: int, unit: UnitName) -> ft.Control:
    """The number over its unit; a screen reader hears “25 minutes” once, and again when it changes."""
    figure = ft.Column(
        [
            digits(str(value), name=UNITS[unit].spoken(value)),
            ft.Semantics(
                exclude_semantics=True, content=words(UNITS[unit].shown(value), colour=Role.INK_SOFT)
            ),
        ],
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        spacing=0,
        tight=True,
    )
    return ft.Semantics(identifier=f"{unit}-value", live_region=True, container=True, content=figure)


def stepper_layout(figure: ft.Control, buttons: Sequence[ft.Control], *, stacked: bool) -> ft.Control:
    """The figure between its buttons, or above them if the text is large."""
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
    value: int,
    on_change: Callable[[int], Any],
    *,
    unit: UnitName,
    steps: Sequence[int],
    limits: tuple[int, int],
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
    unit: UnitName = "minute",
    steps: Sequence[int] = (-5, -1, 1, 5),
    low: int = 0,
    high: int = 240,
) -> ft.Control:
    """A whole number between buttons that change it; `on_change` gets the new value, within [low, high].

    `unit` names the steps for a screen reader and is shown under the figure. `steps` are as
    many down as up, in order.
    """
    scale, probe = use_text_scale()
    buttons = step_buttons(value, on_change, unit=unit, steps=steps, limits=(low, high))
    return ft.Stack([probe, stepper_layout(_step_figure(value, unit), buttons, stacked=scale >= LARGE)])
