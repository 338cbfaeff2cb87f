"""What belongs to the plan as a whole: its name and limits, what may be given up, movements of its own."""

from __future__ import annotations

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import (
    STRETCH,
    Fields,
    drag_handle,
    headed,
    in_any_order,
    side_by_side,
    small,
)
from engine.movements.movement import MovementPattern
from engine.plan.draft import DraftPlace, Put, value_at
from engine.plan.draft_parts import allowances_shown
from engine.plan.plan import GiveUp, SideChangeMode

MODES = tuple(
    (mode.value, words_)
    for mode, words_ in zip(SideChangeMode, ("Added", "Inside", "From rest"), strict=True)
)
GIVE_UP = {
    GiveUp.cool_down: "Length of the cool-down",
    GiveUp.hand_change: "Change of hands outside the interval",
    GiveUp.leg_change: "Change of legs outside the interval",
    GiveUp.optional_movements: "Movements that may be left out",
    GiveUp.practice_form: "The longer form of practice",
    GiveUp.practice: "Practice",
    GiveUp.rest: "Length of the rests",
    GiveUp.work: "Length of the work intervals",
    GiveUp.extra_rounds: "Rounds beyond the fewest",
    GiveUp.extra_warm_up: "Warm-up rounds beyond the fewest",
}
WITH_LENGTHS = (GiveUp.cool_down, GiveUp.rest, GiveUp.work)
SILENT = "This plan leaves it to the usual order, which is shown. The first change makes it the plan's own."
FIRST_GONE = "Given up from the top: what stands first goes first when the minutes are short."
NO_OWN = "None yet. In a block, find one that is like it and name it anew."


def plan_part(fields: Fields) -> list[ft.Control]:
    return [
        group(
            section_title("The plan"),
            fields.text("Name", "name", needed=True),
            fields.text("By whom", "author"),
            fields.text("A note to whoever does it", "note", lines=2),
            fields.number("Change of block", "transition_s", unit="s"),
        ),
        group(
            section_title("Change of sides"),
            fields.choice("Its seconds are", MODES, "side_change", "mode"),
            fields.number("It takes", "side_change", "change_s", unit="s"),
        ),
        fields.lines("Stop rules of the whole plan", "Stop rule", "stop_rules"),
    ]


def allowances_part(fields: Fields) -> list[ft.Control]:
    """First-given-up first; a silent plan shows the usual order."""
    shown = allowances_shown(fields.plan.draft)
    silent = value_at(fields.plan.draft, ("allowances",)) is None
    held = {one.get("give_up") for one in shown}
    rows = [
        _allowance(fields, number, one, silent=silent, count=len(shown)) for number, one in enumerate(shown)
    ]
    adding = [
        quiet_button(f"Add: {label}", bound(fields.do.add_allowance, give_up.value))
        for give_up, label in GIVE_UP.items()
        if give_up not in held
    ]
    return [
        group(
            section_title("Short of time"),
            words(FIRST_GONE),
            *([words(SILENT, colour=Role.INK_SOFT), _own_order(fields, shown)] if silent else []),
            *fields.wrong("allowances"),
            *(rows if silent else [in_any_order(rows, fields, "allowances")]),
            fields.tick("Fewer rounds than the fewest are better than none", "below_minimum"),
        ),
        group(button_row(*adding)),
    ]


def _own_order(fields: Fields, shown: list[dict[str, object]]) -> ft.Control:
    return ft.Row(
        [quiet_button("Make it the plan's own", bound(fields.do.write, Put(("allowances",), shown)))]
    )


def _allowance(
    fields: Fields, number: int, one: dict[str, object], *, silent: bool, count: int
) -> ft.Control:
    give_up = GiveUp(str(one.get("give_up")))
    name = GIVE_UP[give_up]
    where: DraftPlace = ("allowances", number)
    block = f" in “{one['block']}”" if one.get("block") else ""
    to_s = one.get("to_s")
    lengths = ", ".join(f"{length} s" for length in to_s) if isinstance(to_s, list) else ""
    ways = [] if silent else fields.order(name, ("allowances",), number, count=count)
    grip = [] if silent else [drag_handle()]
    return ft.Column(
        [
            rule(),
            ft.Row(
                [*grip, ft.Container(headed(words(f"{number + 1}. {name}{block}"), ways), expand=True)],
                spacing=Space.XS,
            ),
            *([words(f"down to {lengths}", size=Type.CAPTION, colour=Role.INK_SOFT)] if lengths else []),
            *([_lengths(fields, where)] if give_up in WITH_LENGTHS and not silent else []),
            *fields.wrong(*where),
            *fields.wrong(*where, "block"),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _lengths(fields: Fields, where: DraftPlace) -> ft.Control:
    return fields.numbers("Lengths, longest first", *where, "to_s")


def own_part(fields: Fields) -> list[ft.Control]:
    """The plan's own movements, each written over what it was made like."""
    own = value_at(fields.plan.draft, ("movements",)) or []
    parts = [_own(fields, number) for number in range(len(own))]
    return [group(section_title("Movements of its own"), *(parts or [words(NO_OWN, colour=Role.INK_SOFT)]))]


def _own(fields: Fields, number: int) -> ft.Control:
    here: DraftPlace = ("movements", number)
    name = str(value_at(fields.plan.draft, (*here, "name")))
    patterns = ", ".join(pattern.value for pattern in MovementPattern)
    return ft.Column(
        [
            rule(),
            fields.text("Name of the movement", *here, "name", needed=True),
            fields.text("Pattern", *here, "pattern", needed=True, hint=patterns),
            side_by_side(
                fields.movement("Easier", *here, "easier"),
                fields.movement("Harder", *here, "harder"),
            ),
            fields.text("End point", *here, "end_point", needed=True),
            fields.lines("Cues", "Cue", *here, "cues"),
            fields.lines("Stop rules", "Stop rule", *here, "stop_rules"),
            *_forms(fields, here),
            ft.Row([small(f"Remove {name}", "×", bound(fields.do.remove, ("movements",), number))]),
        ],
        spacing=Space.S,
        horizontal_alignment=STRETCH,
    )


KITS = (("none", "No weight"), ("single", "One"), ("pair", "Two"))
SIDES = (("none", "No side"), ("hand", "Hand"), ("leg", "Leg"))


def _forms(fields: Fields, here: DraftPlace) -> list[ft.Control]:
    """The forms by kit: what changes sides in each, and how its weight is placed."""
    forms = value_at(fields.plan.draft, (*here, "forms")) or []
    parts: list[ft.Control] = []
    for number in range(len(forms)):
        form: DraftPlace = (*here, "forms", number)
        parts += [
            headed(
                words(f"Form {number + 1}", strong=True),
                fields.order(f"form {number + 1}", (*here, "forms"), number, count=len(forms)),
            ),
            fields.text("Name of the form", *form, "name", needed=True),
            fields.choice("Dumbbells", KITS, *form, "kit"),
            fields.choice("What changes sides", SIDES, *form, "sides"),
            fields.text("How the weight is placed safely", *form, "placing"),
            *fields.wrong(*form),
        ]
    return [words("Forms by kit", strong=True), *parts, *fields.wrong(*here, "forms")]
