"""What the plan may give up when the minutes are short, and in which order."""

from __future__ import annotations

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Fields, drag_handle, headed, in_any_order
from companion.words.saying import msgid, say, words_here
from engine.plan.draft import DraftPlace, Put, value_at
from engine.plan.draft_parts import allowances_shown
from engine.plan.plan import GiveUp

GIVE_UP = {
    GiveUp.cool_down: msgid("Length of the cool-down"),
    GiveUp.hand_change: msgid("Changing hands outside the interval"),
    GiveUp.leg_change: msgid("Changing legs or sides outside the interval"),
    GiveUp.optional_movements: msgid("Movements that may be left out"),
    GiveUp.practice_kind: msgid("The longer kind of practice"),
    GiveUp.practice: msgid("Practice"),
    GiveUp.rest: msgid("Length of the rests"),
    GiveUp.work: msgid("Length of the work intervals"),
    GiveUp.extra_rounds: msgid("Rounds above the minimum"),
    GiveUp.extra_warm_up: msgid("Warm-up rounds above the minimum"),
}
WITH_LENGTHS = (GiveUp.cool_down, GiveUp.rest, GiveUp.work)
SILENT = msgid("This is the usual order. Your first change makes it the plan's own.")
FIRST_GONE = msgid("What stands first is cut first.")


def allowances_part(fields: Fields) -> list[ft.Control]:
    """What may be given up, first things first. A plan that does not say shows the usual order."""
    shown = allowances_shown(fields.plan.draft)
    silent = value_at(fields.plan.draft, ("allowances",)) is None
    present = {one.get("give_up") for one in shown}
    rows = [
        _allowance(fields, number, one, silent=silent, count=len(shown)) for number, one in enumerate(shown)
    ]
    adding = [
        quiet_button(say("Add: {cut}", cut=say(label)), bound(fields.do.add_allowance, give_up.value))
        for give_up, label in GIVE_UP.items()
        if give_up not in present
    ]
    return [
        group(
            section_title(say("Short of time")),
            words(say(FIRST_GONE)),
            *([words(say(SILENT), colour=Role.INK_SOFT), _own_order(fields, shown)] if silent else []),
            *fields.wrong("allowances"),
            *(rows if silent else [in_any_order(rows, fields, "allowances")]),
        ),
        group(button_row(*adding)),
    ]


def _own_order(fields: Fields, shown: list[dict[str, object]]) -> ft.Control:
    makes_own = bound(fields.do.write, Put(("allowances",), shown))
    return ft.Row([quiet_button(say("Make it the plan's own"), makes_own)])


def _allowance(
    fields: Fields, number: int, one: dict[str, object], *, silent: bool, count: int
) -> ft.Control:
    give_up = GiveUp(str(one.get("give_up")))
    name = say(GIVE_UP[give_up])
    where: DraftPlace = ("allowances", number)
    to_s = one.get("to_s")
    lengths = (
        words_here().listed(_length(length) for length in to_s) if isinstance(to_s, list) and to_s else ""
    )
    buttons = [] if silent else fields.order(name, ("allowances",), number, count=count)
    grip = [] if silent else [drag_handle()]
    lengths_field = fields.numbers(say("Lengths, longest first"), *where, "to_s")
    return ft.Column(
        [
            rule(),
            ft.Row(
                [*grip, ft.Container(headed(words(_title(fields, number, one)), buttons), expand=True)],
                spacing=Space.XS,
            ),
            *(
                [words(say("down to {lengths}", lengths=lengths), size=Type.CAPTION, colour=Role.INK_SOFT)]
                if lengths
                else []
            ),
            *([lengths_field] if give_up in WITH_LENGTHS and not silent else []),
            *fields.wrong(*where),
            *fields.wrong(*where, "block"),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _title(fields: Fields, number: int, one: dict[str, object]) -> str:
    cut, block = say(GIVE_UP[GiveUp(str(one.get("give_up")))]), one.get("block")
    if not block:
        return say("{number}. {cut}", number=number + 1, cut=cut)
    ids = [of_plan.get("id") for of_plan in value_at(fields.plan.draft, ("blocks",)) or []]
    where = ids.index(block) + 1 if block in ids else str(block)
    return say("{number}. {cut}, in block {block}", number=number + 1, cut=cut, block=where)


def _length(length: object) -> str:
    """A length in seconds; what is written in its place stays as it is."""
    return words_here().length(length) if isinstance(length, int) else str(length)
