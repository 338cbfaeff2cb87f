"""What the coach decides about a movement for certain people: a substitute, and the load to start with."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Fields, side_by_side, small
from companion.words.saying import msgid, say
from engine.movements.movement import Kit
from engine.movements.own_choice import Occasion
from engine.plan.draft import DraftPlace, value_at

if TYPE_CHECKING:
    from engine.movements.movement import Movement

FIRST = msgid("Used first. Anyone who may not do it that day gets the usual choice, and is told why.")
ADD = msgid("Add one for a kit or for joint pain")
OCCASIONS = {
    Occasion.no_dumbbells: msgid("No dumbbells"),
    Occasion.one_dumbbell: msgid("One dumbbell"),
    Occasion.wrist: msgid("Wrist pain"),
    Occasion.elbow: msgid("Elbow pain"),
    Occasion.shoulder: msgid("Shoulder pain"),
    Occasion.neck: msgid("Neck pain"),
    Occasion.low_back: msgid("Low back pain"),
    Occasion.hip: msgid("Hip pain"),
    Occasion.knee: msgid("Knee pain"),
    Occasion.ankle: msgid("Ankle pain"),
}


def starting_loads(fields: Fields, where: DraftPlace, movement: Movement | None) -> list[ft.Control]:
    """The loads to start with: for one dumbbell and for two, as far as the movement has them."""
    kits = {variant.kit for variant in movement.variants} if movement else set(Kit)
    asked = (
        (say("Start with one"), "starting_g", Kit.single),
        (say("Start with two, each"), "starting_pair_g", Kit.pair),
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
            _occasion(when),
            bound(fields.do.add_substitute, where, when),
            name=say("Add a substitute: {occasion}", occasion=_occasion(when)),
        )
        for when in Occasion
        if when.value not in given
    ]
    explained = [words(say(FIRST), size=Type.CAPTION, colour=Role.INK_SOFT)] if written else []
    return ft.Column(
        [
            words(say("Your substitutes"), strong=True),
            *explained,
            *(_substitute(fields, here, number, when) for number, when in enumerate(given)),
            *fields.wrong(*here),
            *([words(say(ADD), size=Type.CAPTION), button_row(*adding)] if adding else []),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _substitute(fields: Fields, here: DraftPlace, number: int, when: str) -> ft.Control:
    occasion = _occasion(when)
    remove = say("Remove the substitute: {occasion}", occasion=occasion)
    return ft.Row(
        [
            ft.Container(fields.movement(occasion, *here, number, "movement"), expand=True),
            small(remove, "×", bound(fields.do.remove, here, number)),
        ],
        vertical_alignment=ft.CrossAxisAlignment.END,
        spacing=Space.S,
    )


def _occasion(when: str) -> str:
    """“No dumbbells”, “Knee pain”."""
    return say(OCCASIONS[Occasion(when)]) if when in set(Occasion) else when
