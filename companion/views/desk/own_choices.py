"""What the coach decides about a movement for certain people: a substitute, and the load to start with."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Fields, side_by_side, small
from engine.base.phrases import upper_first
from engine.movements.movement import Kit
from engine.movements.own_choice import Occasion
from engine.plan.draft import DraftPlace, value_at
from engine.plan.words import occasion_words

if TYPE_CHECKING:
    from engine.movements.movement import Movement

FIRST = "Used first. Who may not do it that day gets the usual choice, and is told why."
ADD = "Add one for a kit or a sore joint"


def starting_loads(fields: Fields, where: DraftPlace, movement: Movement | None) -> list[ft.Control]:
    """The loads to start with: for one dumbbell and for two, as far as the movement has them."""
    kits = {variant.kit for variant in movement.variants} if movement else set(Kit)
    asked = (
        ("Start with one", "starting_g", Kit.single),
        ("Start with two, each", "starting_pair_g", Kit.pair),
    )
    shown = [
        fields.load(label, *where, field, hint=fields.do.unit.value)
        for label, field, kit in asked
        if kit in kits or value_at(fields.plan.draft, (*where, field)) is not None
    ]
    return [side_by_side(*shown)] if shown else []


def own_substitutes(fields: Fields, where: DraftPlace) -> ft.Control:
    """The coach's own substitutes, one for each occasion, and the occasions that have none yet."""
    here = (*where, "substitutes")
    written = value_at(fields.plan.draft, here) or []
    given = [str(one.get("when")) for one in written]
    adding = [
        quiet_button(
            _button_words(when),
            bound(fields.do.add_substitute, where, when),
            name=f"Add a substitute for {occasion_words(when)}",
        )
        for when in Occasion
        if when.value not in given
    ]
    explained = [words(FIRST, size=Type.CAPTION, colour=Role.INK_SOFT)] if written else []
    return ft.Column(
        [
            words("Substitutes of yours", strong=True),
            *explained,
            *(_substitute(fields, here, number, when) for number, when in enumerate(given)),
            *fields.wrong(*here),
            *([words(ADD, size=Type.CAPTION), button_row(*adding)] if adding else []),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _substitute(fields: Fields, here: DraftPlace, number: int, when: str) -> ft.Control:
    occasion = occasion_words(Occasion(when)) if when in set(Occasion) else when
    label = f"With {occasion}"
    return ft.Row(
        [
            ft.Container(fields.movement(label, *here, number, "movement"), expand=True),
            small(f"Remove the substitute for {occasion}", "×", bound(fields.do.remove, here, number)),
        ],
        vertical_alignment=ft.CrossAxisAlignment.END,
        spacing=Space.S,
    )


def _button_words(when: Occasion) -> str:
    """“No dumbbells”, “Knee”."""
    return upper_first(when.joint.replace("_", " ") if when.joint else occasion_words(when))
