"""The search for one more movement of a block, and the way to make a new one like it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.field import field
from companion.views.controls.parts import group, rule, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role
from companion.views.desk.fields import Fields
from companion.words.faults import why
from companion.words.saying import msgid, own, said, say, several
from engine.movements.terms import pattern_term
from engine.plan.draft_parts import movements_found

if TYPE_CHECKING:
    from engine.movements.movement import Movement


MOST_FOUND = 6
NEW_NAME = msgid("Or a new movement, named")
SEARCH = msgid("Find a movement by name or pattern")


@safe_component
def search(written: str, fields: Fields) -> ft.Control:
    """Finds movements of the library and the plan by name or pattern, each with a button to add it."""
    found = movements_found(fields.plan.draft, written) if written.strip() else ()
    shown_in = f"{fields.plan.open} {fields.plan.refills}"
    rows: list[ft.Control] = [
        ft.Row([_add(one, fields), words(said(pattern_term(one.pattern)))], wrap=True)
        for one in found[:MOST_FOUND]
    ]
    remark = say("No movement of that name.") if written.strip() and not found else ""
    if len(found) > MOST_FOUND:
        remark = several(
            "{count} more; write more of the name.",
            "{count} more; write more of the name.",
            len(found) - MOST_FOUND,
        )
    return group(
        field(
            say(SEARCH),
            written,
            fields.do.search_movement,
            on_inside=fields.do.mind_field,
            key=f"search {shown_in}",
        ),
        *rows,
        *([words(remark, colour=Role.INK_SOFT)] if remark else []),
        *([rule(), _own_movement(found[0], fields)] if found else []),
    )


@safe_component
def _own_movement(like: Movement, fields: Fields) -> ft.Control:
    """Names a new movement of the plan's own, made like the first one that was found."""
    name, set_name = ft.use_state("")
    fault, set_fault = ft.use_state("")

    async def add() -> None:
        try:
            await fields.do.add_own_movement(like.slug, name)
        except ValueError as wrong:
            set_fault(why(wrong))
            return
        set_name("")
        set_fault("")

    key = f"own {fields.plan.open} {fields.plan.refills}"
    box = field(say(NEW_NAME), name, set_name, fault=fault or None, key=key)
    return group(box, ft.Row([quiet_button(say("Make it like {movement}", movement=own(like.name)), add)]))


def _add(movement: Movement, fields: Fields) -> ft.Control:
    label = say("Add {movement}", movement=own(movement.name))
    return quiet_button(label, bound(fields.do.add_movement, movement.slug))
