"""Kit and loads: the dumbbells at home, the room, and the loads."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.views.controls.buttons import bound, ignoring_value, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.field import entry
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.tick import tick_row
from companion.views.controls.undo import undo_notice
from companion.views.home.loads import loads_part
from engine.load.rack import AdjustableBell, FixedWeight, Plates
from engine.movements.movement import Equipment

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.kit import Kit
    from companion.state.app import State


TITLE = "Kit and loads"
NO_WEIGHTS = "No dumbbell is listed yet. Until one is, only what you lifted before can be proposed."
NO_BELLS = "None. An adjustable dumbbell is a bar that takes plates."
HAVE = {
    Equipment.wall: "A free wall",
    Equipment.floor: "A free floor",
    Equipment.chair: "A chair",
    Equipment.bench: "A bench",
    Equipment.table: "A firm table",
    Equipment.step: "A step",
    Equipment.towel: "A towel",
    Equipment.band: "A band",
}
BARS = (("1", "One"), ("2", "Two, plates shared"))


@safe_component
def kit_screen(state: State, do: Kit, go: Go) -> ft.Control:
    return page_frame(
        [
            *undo_notice(state, do.undo),
            columns([_fixed(state, do), _adjustable(state, do), _room(state, do)], loads_part(state, do)),
        ],
        title=TITLE,
        on_back=bound(go.setup),
        wide=True,
    )


def _count_row(label: str, count: int, on_count: Callable[[int], Any], *, of: str, most: int) -> ft.Control:
    """How many there are of something, and buttons for fewer and more; 0 takes it off the list."""
    fewer = quiet_button("−", bound(on_count, count - 1), name=f"fewer {of}")
    more = quiet_button("+", bound(on_count, count + 1), name=f"more {of}", disabled=count >= most)
    said = ft.Semantics(
        live_region=True, container=True, label=f"{label}, {count} of them", exclude_semantics=True,
        content=words(f"{label} × {count}", size=Type.LEAD, strong=True),
    )  # fmt: skip
    return ft.Row(
        [ft.Container(said, expand=True), fewer, more],
        spacing=Space.S,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )


def _fixed(state: State, do: Kit) -> ft.Control:
    lines: list[ft.Control] = [_weight_row(one, do) for one in state.home.rack.fixed]
    return group(
        section_title("Dumbbells of one weight", detail="two of a kind are a pair"),
        *(lines or [words(NO_WEIGHTS, colour=Role.INK_SOFT)]),
        entry(f"Weight of a dumbbell, {state.home.unit}", "Add it", do.add_weight, number=True),
    )


def _weight_row(one: FixedWeight, do: Kit) -> ft.Control:
    shown = do.load_words(one.load_g)
    return _count_row(shown, one.count, partial(do.count_weight, one.load_g), of=shown, most=20)


def _adjustable(state: State, do: Kit) -> ft.Control:
    bells: list[ft.Control] = [_bell(at, one, state, do) for at, one in enumerate(state.home.rack.adjustable)]
    return group(
        section_title("Adjustable dumbbells"),
        *(bells or [words(NO_BELLS, colour=Role.INK_SOFT)]),
        entry(
            f"Weight of a bar with its collars, {state.home.unit}", "Add the bar", do.add_bell, number=True
        ),
    )


def _bell(at: int, bell: AdjustableBell, state: State, do: Kit) -> ft.Control:
    name = f"bar {at + 1}"

    async def count_bars(value: str) -> None:
        await do.count_bars(at, int(value))

    plates: list[ft.Control] = [_plates_row(at, one, do) for one in bell.plates]
    label = f"Weight of one plate for {name}, {state.home.unit}"
    return ft.Column(
        [
            words(f"Bar of {do.load_words(bell.bar_g)}", size=Type.LEAD, strong=True),
            choice_row(BARS, str(bell.bars), count_bars, name=f"How many of {name}"),
            *plates,
            entry(label, "Add four plates", partial(do.add_plates, at), number=True),
            words(_reach(bell, do), colour=Role.INK_SOFT),
            ft.Row([quiet_button(f"Take {name} off the list", bound(do.remove_bell, at))]),
        ],
        spacing=Space.S,
    )


def _plates_row(at: int, plates: Plates, do: Kit) -> ft.Control:
    shown, count = do.load_words(plates.load_g), partial(do.count_plates, at, plates.load_g)
    return _count_row(f"Plates of {shown}", plates.count, count, of=f"plates of {shown}", most=40)


def _reach(bell: AdjustableBell, do: Kit) -> str:
    """“One: 6 weights from 2 kg to 12 kg. A pair: 4 weights from 2 kg to 7 kg.”"""
    said = []
    for dumbbells, name in ((1, "One"), (2, "A pair")):
        loads_g = bell.loads_g(dumbbells)
        if len(loads_g) == 1:
            said.append(f"{name}: {do.load_words(loads_g[0])}.")
        elif loads_g:
            first, last = do.load_words(loads_g[0]), do.load_words(loads_g[-1])
            said.append(f"{name}: {len(loads_g)} weights from {first} to {last}.")
    return " ".join(said)


def _room(state: State, do: Kit) -> ft.Control:
    rows: list[ft.Control] = [
        tick_row(label, one not in state.home.without, ignoring_value(do.toggle_absent, one))
        for one, label in HAVE.items()
    ]
    return group(section_title("In the room"), ft.Column(rows, spacing=0))
