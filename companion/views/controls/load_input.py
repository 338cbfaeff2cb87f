"""The load of one movement in the person's unit: one of the weights they own, else stepped. Grams inside."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any, NamedTuple

import flet as ft

from companion.views.controls.buttons import bound
from companion.views.controls.choice import choice_chips
from companion.views.controls.parts import group, words
from companion.views.controls.stepper import step_button
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import Role, Space, Type
from companion.words.saying import msgid, say, words_here
from engine.base.units import LoadUnit, format_load, grams


class StepOfLoad(NamedTuple):
    """What a button shows, the step itself, and what a screen reader says for it downwards and upwards."""

    shown: str
    size: Decimal
    less: str
    more: str


STEPS = {
    LoadUnit.kg: (
        StepOfLoad("½", Decimal("0.5"), msgid("half a kilogram less"), msgid("half a kilogram more")),
        StepOfLoad("1", Decimal(1), msgid("one kilogram less"), msgid("one kilogram more")),
        StepOfLoad("2", Decimal(2), msgid("two kilograms less"), msgid("two kilograms more")),
    ),
    LoadUnit.lb: (
        StepOfLoad("1", Decimal(1), msgid("one pound less"), msgid("one pound more")),
        StepOfLoad("5", Decimal(5), msgid("five pounds less"), msgid("five pounds more")),
    ),
}
"""The steps of each unit, smallest first."""
HEAVIEST_G = 100_000
NO_WEIGHT = msgid("no weight")


def stepped_g(load_g: int | None, step: Decimal, unit: LoadUnit) -> int:
    """The load one step further, 0 to 100 kg. It steps from the figure shown, so that pounds stay whole.

    A load that was not said yet starts at 0.
    """
    shown = Decimal(format_load(load_g or 0, unit).split()[0])
    return min(HEAVIEST_G, grams(max(Decimal(0), shown + step), unit))


def load_choice(
    label: str,
    load_g: int | None,
    on_change: Callable[[int], Any],
    *,
    unit: LoadUnit,
    owned_g: Sequence[int],
) -> ft.Control:
    """`label` over the weights that are owned and “no weight”; over steps where none are known.

    A load that is said and not owned is a chip too. `on_change` gets grams.
    """
    if not owned_g:
        return load_input(label, load_g, on_change, unit=unit)
    weights = sorted({0, *owned_g, *([] if load_g is None else [load_g])})
    options = [(one, _load_words(one, unit) if one else say(NO_WEIGHT)) for one in weights]
    return choice_chips(label, options, load_g, on_change)


def _load_words(load_g: int, unit: LoadUnit) -> str:
    return replace(words_here(), unit=unit).load(load_g)


@ft.component
def load_input(
    label: str, load_g: int | None, on_change: Callable[[int], Any], *, unit: LoadUnit
) -> ft.Control:
    """`label` and the load (None: not said) over its steps; `on_change` gets grams."""
    scale, probe = use_text_scale()
    content = load_layout(label, load_g, on_change, unit=unit, stacked=scale >= LARGE)
    return ft.Stack([probe, content])


def load_layout(
    label: str, load_g: int | None, on_change: Callable[[int], Any], *, unit: LoadUnit, stacked: bool
) -> ft.Control:
    """The steps in one row, or those down above those up if the text is large."""
    down, up = ([_step(sign, step, load_g, on_change, unit) for step in STEPS[unit]] for sign in (-1, 1))
    rows = [down[::-1], up] if stacked else [down[::-1] + up]
    return group(_head(label, load_g, unit), *(ft.Row(row, spacing=Space.S) for row in rows))


def _head(label: str, load_g: int | None, unit: LoadUnit) -> ft.Control:
    """A screen reader hears the load again when it changes; its place is as wide as that of a load with two
    decimals, so that the steps below stay where they are."""
    not_said = f"– {unit}"
    shown = not_said if load_g is None else _load_words(load_g, unit)
    colour = Role.INK_SOFT if load_g is None else Role.INK
    figure = words(shown, size=Type.TITLE, strong=load_g is not None, colour=colour)
    widest = ft.Container(content=words(f"88.88 {unit}", size=Type.TITLE), opacity=0)
    spoken = ft.Semantics(live_region=True, container=True, content=figure)
    place = ft.Stack(
        [ft.Semantics(exclude_semantics=True, content=widest), spoken], alignment=ft.Alignment.CENTER_RIGHT
    )
    return ft.Row(
        [words(label, strong=True), place],
        alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
        vertical_alignment=ft.CrossAxisAlignment.END,
        wrap=True,
    )


def _step(
    sign: int, step: StepOfLoad, load_g: int | None, on_change: Callable[[int], Any], unit: LoadUnit
) -> ft.Control:
    to_g = stepped_g(load_g, sign * step.size, unit)
    return step_button(
        f"{'−' if sign < 0 else '+'}{step.shown}",
        bound(on_change, to_g),
        name=say(step.less if sign < 0 else step.more),
        disabled=to_g == (load_g or 0),
    )
