"""The movements of the plan's own."""

from __future__ import annotations

import flet as ft

from companion.views.controls.buttons import bound
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space
from companion.views.desk.fields import STRETCH, Fields, headed, small
from engine.movements.movement import MovementPattern
from engine.plan.draft import DraftPlace, value_at

NO_OWN = "None yet. In a block, find one that is like it and name it anew."
KITS = (("none", "No weight"), ("single", "One"), ("pair", "Two"))
SIDES = (("none", "No side"), ("hand", "Hand"), ("leg", "Leg"))


def own_part(fields: Fields) -> list[ft.Control]:
    """The plan's own movements; each began as a copy of the movement it was made like."""
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
            fields.movement("Easier", *here, "easier"),
            fields.text("End point", *here, "end_point", needed=True),
            fields.lines("Cues", "Cue", *here, "cues"),
            fields.lines("Stop rules", "Stop rule", *here, "stop_rules"),
            *_variants(fields, here),
            ft.Row([small(f"Remove {name}", "×", bound(fields.do.remove, ("movements",), number))]),
        ],
        spacing=Space.S,
        horizontal_alignment=STRETCH,
    )


def _variants(fields: Fields, here: DraftPlace) -> list[ft.Control]:
    """The variants by kit: what changes sides in each, and how its weight is placed."""
    variants = value_at(fields.plan.draft, (*here, "variants")) or []
    parts: list[ft.Control] = []
    for number in range(len(variants)):
        variant: DraftPlace = (*here, "variants", number)
        parts += [
            headed(
                words(f"Version {number + 1}", strong=True),
                fields.order(f"version {number + 1}", (*here, "variants"), number, count=len(variants)),
            ),
            fields.text("Name of the version", *variant, "name", needed=True),
            fields.choice("Dumbbells", KITS, *variant, "kit"),
            fields.choice("What changes sides", SIDES, *variant, "sides"),
            fields.movement("Harder", *variant, "harder"),
            fields.text("How the weight is placed safely", *variant, "placing"),
            *fields.wrong(*variant),
        ]
    return [words("Versions by kit", strong=True), *parts, *fields.wrong(*here, "variants")]
