"""What the plan may give up when the minutes are short, and in which order."""

from __future__ import annotations

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Fields, drag_handle, headed, in_any_order
from engine.plan.draft import DraftPlace, Put, value_at
from engine.plan.draft_parts import allowances_shown
from engine.plan.plan import GiveUp

GIVE_UP = {
    GiveUp.cool_down: "Length of the cool-down",
    GiveUp.hand_change: "Change of hands outside the interval",
    GiveUp.leg_change: "Change of legs outside the interval",
    GiveUp.optional_movements: "Movements that may be left out",
    GiveUp.practice_kind: "The longer kind of practice",
    GiveUp.practice: "Practice",
    GiveUp.rest: "Length of the rests",
    GiveUp.work: "Length of the work intervals",
    GiveUp.extra_rounds: "Rounds beyond the fewest",
    GiveUp.extra_warm_up: "Warm-up rounds beyond the fewest",
}
WITH_LENGTHS = (GiveUp.cool_down, GiveUp.rest, GiveUp.work)
SILENT = "This plan leaves it to the usual order, which is shown. The first change makes it the plan's own."
FIRST_GONE = "Given up from the top: what stands first goes first when the minutes are short."


def allowances_part(fields: Fields) -> list[ft.Control]:
    """What may be given up, first things first. A plan that does not say shows the usual order."""
    shown = allowances_shown(fields.plan.draft)
    silent = value_at(fields.plan.draft, ("allowances",)) is None
    present = {one.get("give_up") for one in shown}
    rows = [
        _allowance(fields, number, one, silent=silent, count=len(shown)) for number, one in enumerate(shown)
    ]
    adding = [
        quiet_button(f"Add: {label}", bound(fields.do.add_allowance, give_up.value))
        for give_up, label in GIVE_UP.items()
        if give_up not in present
    ]
    return [
        group(
            section_title("Short of time"),
            words(FIRST_GONE),
            *([words(SILENT, colour=Role.INK_SOFT), _own_order(fields, shown)] if silent else []),
            *fields.wrong("allowances"),
            *(rows if silent else [in_any_order(rows, fields, "allowances")]),
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
    buttons = [] if silent else fields.order(name, ("allowances",), number, count=count)
    grip = [] if silent else [drag_handle()]
    lengths_field = fields.numbers("Lengths, longest first", *where, "to_s")
    return ft.Column(
        [
            rule(),
            ft.Row(
                [*grip, ft.Container(headed(words(f"{number + 1}. {name}{block}"), buttons), expand=True)],
                spacing=Space.XS,
            ),
            *([words(f"down to {lengths}", size=Type.CAPTION, colour=Role.INK_SOFT)] if lengths else []),
            *([lengths_field] if give_up in WITH_LENGTHS and not silent else []),
            *fields.wrong(*where),
            *fields.wrong(*where, "block"),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )
