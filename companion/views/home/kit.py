"""Kit and loads: the dumbbells at home, what the room has, and what was and will be lifted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.style.words import day_words
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.field import entry
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.tick import tick_row
from companion.views.controls.undo import undo_notice
from engine.base.units import format_duration
from engine.load.proposal import LoadProposal
from engine.load.rack import AdjustableBell, FixedWeight
from engine.movements.movement import Equipment
from engine.movements.words import KIT_WORDS

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.kit import Kit
    from companion.state.app import State
    from storage.models import LastLoad


TITLE = "Kit and loads"
NO_WEIGHTS = "No dumbbell is listed yet. Until one is, only what you lifted before can be proposed."
NO_BELLS = "None. An adjustable dumbbell is a bar that takes plates."
NO_LOADS = "Nothing lifted yet. What you lift is listed here after your first session."
NO_LOADED = "Nothing in this session is lifted with the dumbbells chosen."
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
            columns([_fixed(state, do), _adjustable(state, do), _room(state, do)], [*_loads(state, do)]),
        ],
        title=TITLE,
        on_back=bound(go.setup),
        wide=True,
    )


def _counted(
    label: str, count: int, on_count: Callable[[int], Any], *, of: str, most: int, step: int = 1
) -> ft.Control:
    """A line with how many there are, one fewer and one more; none left takes the line away."""
    fewer = quiet_button("−", bound(on_count, count - step), name=f"fewer {of}")
    more = quiet_button("+", bound(on_count, count + step), name=f"more {of}", disabled=count + step > most)
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
    lines: list[ft.Control] = [_fixed_line(one, do) for one in state.home.rack.fixed]
    return group(
        section_title("Dumbbells of one weight", detail="two of a kind are a pair"),
        *(lines or [words(NO_WEIGHTS, colour=Role.INK_SOFT)]),
        entry(f"Weight of a dumbbell, {_unit(state)}", "Add it", do.add_weight, number=True),
    )


def _fixed_line(one: FixedWeight, do: Kit) -> ft.Control:
    shown = do.load_words(one.load_g)

    async def count(number: int) -> None:
        await do.count_weight(one.load_g, number)

    return _counted(shown, one.count, count, of=shown, most=20)


def _unit(state: State) -> str:
    return state.home.profile.unit.value if state.home.profile else "kg"


def _adjustable(state: State, do: Kit) -> ft.Control:
    bells: list[ft.Control] = [_bell(at, one, state, do) for at, one in enumerate(state.home.rack.adjustable)]
    return group(
        section_title("Adjustable dumbbells"),
        *(bells or [words(NO_BELLS, colour=Role.INK_SOFT)]),
        entry(f"Weight of a bar with its collars, {_unit(state)}", "Add the bar", do.add_bell, number=True),
    )


def _bell(at: int, bell: AdjustableBell, state: State, do: Kit) -> ft.Control:
    name = f"bar {at + 1}"

    async def bars(value: str) -> None:
        await do.count_bars(at, int(value))

    async def add(written: str) -> None:
        await do.add_plates(at, written)

    plates: list[ft.Control] = [_plates(at, one.load_g, one.count, do) for one in bell.plates]
    return ft.Column(
        [
            words(f"Bar of {do.load_words(bell.bar_g)}", size=Type.LEAD, strong=True),
            choice_row(BARS, str(bell.bars), bars, name=f"How many of {name}"),
            *plates,
            entry(f"Weight of one plate for {name}, {_unit(state)}", "Add four plates", add, number=True),
            words(_reach(bell, do), colour=Role.INK_SOFT),
            ft.Row([quiet_button(f"Take {name} off the list", bound(do.remove_bell, at))]),
        ],
        spacing=Space.S,
    )


def _plates(at: int, load_g: int, count: int, do: Kit) -> ft.Control:
    shown = do.load_words(load_g)

    async def counted(number: int) -> None:
        await do.count_plates(at, load_g, number)

    return _counted(f"Plates of {shown}", count, counted, of=f"plates of {shown}", most=40)


def _reach(bell: AdjustableBell, do: Kit) -> str:
    """“One at a time: 2 to 12 kg in 5 steps; as a pair: 2 to 7 kg in 3 steps.”"""
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
        tick_row(label, one not in state.home.without, _toggle(one, do)) for one, label in HAVE.items()
    ]
    return group(section_title("In the room"), ft.Column(rows, spacing=0))


def _toggle(one: Equipment, do: Kit) -> Callable[..., Any]:
    async def toggle(_: bool) -> None:
        await do.toggle_absent(one)

    return toggle


def _loads(state: State, do: Kit) -> Sequence[ft.Control]:
    made = do.loads_to_come()
    said: list[ft.Control] = [_proposal(one, do) for one in made]
    last: list[ft.Control] = [words(_last_words(one, state, do)) for one in _latest(state.home.last_loads)]
    return [
        group(
            section_title("Next time", detail=state.plans.chosen.name),
            *(said or [words(NO_LOADED, colour=Role.INK_SOFT)]),
        ),
        group(section_title("Last loads"), *(last or [words(NO_LOADS, colour=Role.INK_SOFT)])),
    ]


def _proposal(one: LoadProposal, do: Kit) -> ft.Control:
    load = "not known" if one.load_g is None else do.load_words(one.load_g) if one.load_g else "no weight"
    ask = [notice("note", one.question, title="For your coach")] if one.question else []
    return ft.Column(
        [
            words(f"{one.name}: {load}", size=Type.LEAD, strong=True),
            words(one.reason),
            words(one.source, size=Type.CAPTION, colour=Role.INK_SOFT),
            *ask,
        ],
        spacing=Space.XS,
    )


def _latest(loads: Sequence[LastLoad]) -> list[LastLoad]:
    """The last load of each movement, by its name."""
    by_movement: dict[str, LastLoad] = {}
    for load in sorted(loads, key=lambda one: (one.started_at, one.record_id)):
        by_movement[load.movement] = load
    return sorted(by_movement.values(), key=lambda one: one.movement)


def _last_words(one: LastLoad, state: State, do: Kit) -> str:
    """“Bent-over row: 8 kg, one dumbbell, 0:30 a set, Tuesday 3 March.”"""
    known = state.plans.chosen.known_movements().get(one.movement)
    name = known.name if known else one.movement.replace("-", " ").capitalize()
    kit = KIT_WORDS[one.kit]
    day = day_words(one.started_at.date())
    return f"{name}: {do.load_words(one.load_g)}, {kit}, {format_duration(one.interval_ms)} a set, {day}."
