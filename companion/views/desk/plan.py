"""What belongs to the plan as a whole: its name and limits, what may be given up, movements of its own."""

from __future__ import annotations

import flet as ft

from companion.views.controls.buttons import bound
from companion.views.controls.parts import group, quiet_button, rule, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Pen, drag_handle, headed, in_any_order, side_by_side, small
from engine.movements.movement import MovementPattern
from engine.plan.draft import DraftPlace, Put, at
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


def plan_part(pen: Pen) -> list[ft.Control]:
    return [
        group(
            section_title("The plan"),
            pen.text("Name", "name", needed=True),
            pen.text("By whom", "author"),
            pen.text("A note to whoever does it", "note", lines=2),
            pen.number("Change of block", "transition_s", unit="s"),
        ),
        group(
            section_title("Change of sides"),
            pen.choice("Its seconds are", MODES, "side_change", "mode"),
            pen.number("It takes", "side_change", "change_s", unit="s"),
        ),
        pen.lines("Stop rules of the whole plan", "Stop rule", "stop_rules"),
    ]


def allowances_part(pen: Pen) -> list[ft.Control]:
    """First-given-up first; a silent plan shows the usual order."""
    shown = allowances_shown(pen.desk.draft)
    silent = at(pen.desk.draft, ("allowances",)) is None
    held = {one.get("give_up") for one in shown}
    rows = [_allowance(pen, number, one, silent=silent, count=len(shown)) for number, one in enumerate(shown)]
    adding: list[ft.Control] = [
        quiet_button(f"Add: {label}", bound(pen.do.add_allowance, give_up.value))
        for give_up, label in GIVE_UP.items()
        if give_up not in held
    ]
    return [
        group(
            section_title("Short of time"),
            words(FIRST_GONE),
            *([words(SILENT, colour=Role.INK_SOFT), _own_order(pen, shown)] if silent else []),
            *pen.wrong("allowances"),
            *(rows if silent else [in_any_order(rows, pen, "allowances")]),
            pen.tick("Fewer rounds than the fewest are better than none", "below_minimum"),
        ),
        group(ft.Row(adding, wrap=True, spacing=Space.S, run_spacing=Space.S)),
    ]


def _own_order(pen: Pen, shown: list[dict[str, object]]) -> ft.Control:
    return ft.Row([quiet_button("Make it the plan's own", bound(pen.do.write, Put(("allowances",), shown)))])


def _allowance(pen: Pen, number: int, one: dict[str, object], *, silent: bool, count: int) -> ft.Control:
    give_up = GiveUp(str(one.get("give_up")))
    name = GIVE_UP[give_up]
    where: DraftPlace = ("allowances", number)
    block = f" in “{one['block']}”" if one.get("block") else ""
    to_s = one.get("to_s")
    lengths = ", ".join(f"{length} s" for length in to_s) if isinstance(to_s, list) else ""
    ways = [] if silent else pen.order(name, ("allowances",), number, count=count)
    grip = [] if silent else [drag_handle()]
    return ft.Column(
        [
            rule(),
            ft.Row(
                [*grip, ft.Container(headed(words(f"{number + 1}. {name}{block}"), ways), expand=True)],
                spacing=Space.XS,
            ),
            *([words(f"down to {lengths}", size=Type.CAPTION, colour=Role.INK_SOFT)] if lengths else []),
            *([_lengths(pen, where)] if give_up in WITH_LENGTHS and not silent else []),
            *pen.wrong(*where),
            *pen.wrong(*where, "block"),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _lengths(pen: Pen, where: DraftPlace) -> ft.Control:
    return pen.numbers("Lengths, longest first", *where, "to_s")


def own_part(pen: Pen) -> list[ft.Control]:
    """The plan's own movements, each written over what it was made like."""
    own = at(pen.desk.draft, ("movements",)) or []
    parts = [_own(pen, number) for number in range(len(own))]
    return [group(section_title("Movements of its own"), *(parts or [words(NO_OWN, colour=Role.INK_SOFT)]))]


def _own(pen: Pen, number: int) -> ft.Control:
    here: DraftPlace = ("movements", number)
    name = str(at(pen.desk.draft, (*here, "name")))
    patterns = ", ".join(pattern.value for pattern in MovementPattern)
    return ft.Column(
        [
            rule(),
            pen.text("Name of the movement", *here, "name", needed=True),
            pen.text("Pattern", *here, "pattern", needed=True, hint=patterns),
            side_by_side(
                pen.movement("Easier", *here, "easier"),
                pen.movement("Harder", *here, "harder"),
            ),
            pen.text("End point", *here, "end_point", needed=True),
            pen.lines("Cues", "Cue", *here, "cues"),
            pen.lines("Stop rules", "Stop rule", *here, "stop_rules"),
            *_forms(pen, here),
            ft.Row([small(f"Remove {name}", "×", bound(pen.do.remove, ("movements",), number))]),
        ],
        spacing=Space.S,
        horizontal_alignment=STRETCH,
    )


KITS = (("none", "No weight"), ("single", "One"), ("pair", "Two"))
SIDES = (("none", "No side"), ("hand", "Hand"), ("leg", "Leg"))


def _forms(pen: Pen, here: DraftPlace) -> list[ft.Control]:
    """The forms by kit: what changes sides in each, and how its weight is placed."""
    forms = at(pen.desk.draft, (*here, "forms")) or []
    parts: list[ft.Control] = []
    for number in range(len(forms)):
        form: DraftPlace = (*here, "forms", number)
        parts += [
            headed(
                words(f"Form {number + 1}", strong=True),
                pen.order(f"form {number + 1}", (*here, "forms"), number, count=len(forms)),
            ),
            pen.text("Name of the form", *form, "name", needed=True),
            pen.choice("Dumbbells", KITS, *form, "kit"),
            pen.choice("What changes sides", SIDES, *form, "sides"),
            pen.text("How the weight is placed safely", *form, "placing"),
            *pen.wrong(*form),
        ]
    return [words("Forms by kit", strong=True), *parts, *pen.wrong(*here, "forms")]
