"""Kit and weights: the dumbbells at home, the room, and the loads."""

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
from companion.words.saying import msgid, say
from engine.load.rack import AdjustableBell, FixedWeight, Plates
from engine.movements.movement import Equipment

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.kit import Kit
    from companion.state.app import State


TITLE = msgid("Kit and weights")
NO_WEIGHTS = msgid(
    "No dumbbell is listed yet. Until one is, only weights that you lifted before are proposed."
)
NO_BELLS = msgid("None. An adjustable dumbbell is a bar that takes plates.")
HAVE = {
    Equipment.wall: msgid("A free wall"),
    Equipment.floor: msgid("A free floor"),
    Equipment.chair: msgid("A chair"),
    Equipment.bench: msgid("A bench"),
    Equipment.table: msgid("A firm table"),
    Equipment.step: msgid("A step"),
    Equipment.towel: msgid("A towel"),
    Equipment.band: msgid("A band"),
}
BARS = (("1", msgid("One")), ("2", msgid("Two, plates shared")))
REACH_OF_ONE = (msgid("One: {first}."), msgid("One: {count} weights from {first} to {last}."))
REACH_OF_A_PAIR = (msgid("A pair: {first}."), msgid("A pair: {count} weights from {first} to {last}."))
"""For one weight, and for several."""


@safe_component
def kit_screen(state: State, do: Kit, go: Go) -> ft.Control:
    return page_frame(
        [
            *undo_notice(state, do.undo),
            columns([_fixed(state, do), _adjustable(state, do), _room(state, do)], loads_part(state, do)),
        ],
        title=say(TITLE),
        on_back=bound(go.setup),
        wide=True,
    )


def _count_row(label: str, count: int, on_count: Callable[[int], Any], *, most: int) -> ft.Control:
    """How many there are of something, and buttons for fewer and more; 0 takes it off the list."""
    fewer = quiet_button("−", bound(on_count, count - 1), name=say("Fewer: {what}", what=label))
    more = quiet_button(
        "+", bound(on_count, count + 1), name=say("More: {what}", what=label), disabled=count >= most
    )
    said = ft.Semantics(
        live_region=True,
        container=True,
        label=say("{what}, {count} of them", what=label, count=count),
        exclude_semantics=True,
        content=words(say("{what} × {count}", what=label, count=count), size=Type.LEAD, strong=True),
    )
    return ft.Row(
        [ft.Container(said, expand=True), fewer, more],
        spacing=Space.S,
        vertical_alignment=ft.CrossAxisAlignment.CENTER,
    )


def _fixed(state: State, do: Kit) -> ft.Control:
    lines: list[ft.Control] = [_weight_row(one, do) for one in state.home.rack.fixed]
    return group(
        section_title(say("Dumbbells of one weight"), detail=say("two of a kind are a pair")),
        *(lines or [words(say(NO_WEIGHTS), colour=Role.INK_SOFT)]),
        entry(
            say("Weight of a dumbbell, {unit}", unit=state.home.unit),
            say("Add it"),
            do.add_weight,
            number=True,
        ),
    )


def _weight_row(one: FixedWeight, do: Kit) -> ft.Control:
    shown = do.load_words(one.load_g)
    return _count_row(shown, one.count, partial(do.count_weight, one.load_g), most=20)


def _adjustable(state: State, do: Kit) -> ft.Control:
    bells: list[ft.Control] = [_bell(at, one, state, do) for at, one in enumerate(state.home.rack.adjustable)]
    return group(
        section_title(say("Adjustable dumbbells")),
        *(bells or [words(say(NO_BELLS), colour=Role.INK_SOFT)]),
        entry(
            say("Weight of a bar with its collars, {unit}", unit=state.home.unit),
            say("Add the bar"),
            do.add_bell,
            number=True,
        ),
    )


def _bell(at: int, bell: AdjustableBell, state: State, do: Kit) -> ft.Control:
    number = at + 1

    async def count_bars(value: str) -> None:
        await do.count_bars(at, int(value))

    plates: list[ft.Control] = [_plates_row(at, one, do) for one in bell.plates]
    label = say("Weight of one plate for bar {number}, {unit}", number=number, unit=state.home.unit)
    bars = [(value, say(text)) for value, text in BARS]
    return ft.Column(
        [
            words(say("Bar of {load}", load=do.load_words(bell.bar_g)), size=Type.LEAD, strong=True),
            choice_row(bars, str(bell.bars), count_bars, name=say("How many of bar {number}", number=number)),
            *plates,
            entry(label, say("Add four plates"), partial(do.add_plates, at), number=True),
            words(_reach(bell, do), colour=Role.INK_SOFT),
            ft.Row([quiet_button(say("Remove bar {number}", number=number), bound(do.remove_bell, at))]),
        ],
        spacing=Space.S,
    )


def _plates_row(at: int, plates: Plates, do: Kit) -> ft.Control:
    shown, count = do.load_words(plates.load_g), partial(do.count_plates, at, plates.load_g)
    return _count_row(say("Plates of {load}", load=shown), plates.count, count, most=40)


def _reach(bell: AdjustableBell, do: Kit) -> str:
    """“One: 6 weights from 2 kg to 12 kg. A pair: 4 weights from 2 kg to 7 kg.”"""
    reached = ((REACH_OF_ONE, bell.loads_g(1)), (REACH_OF_A_PAIR, bell.loads_g(2)))
    return " ".join(
        say(
            sentences[len(loads_g) > 1],
            count=len(loads_g),
            first=do.load_words(loads_g[0]),
            last=do.load_words(loads_g[-1]),
        )
        for sentences, loads_g in reached
        if loads_g
    )


def _room(state: State, do: Kit) -> ft.Control:
    rows: list[ft.Control] = [
        tick_row(say(label), one not in state.home.without, ignoring_value(do.toggle_absent, one))
        for one, label in HAVE.items()
    ]
    return group(section_title(say("In the room")), ft.Column(rows, spacing=0))
