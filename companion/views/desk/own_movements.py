"""The movements of the plan's own."""

from __future__ import annotations

import flet as ft

from companion.views.controls.buttons import bound
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space
from companion.views.desk.fields import CUE, STOP_RULE, STRETCH, Fields, headed, small
from companion.words.saying import msgid, say
from engine.plan.draft import DraftPlace, value_at

NO_OWN = msgid("None yet. In a block, find a movement that is like it, and give it a new name.")
KITS = (("none", msgid("No weight")), ("single", msgid("One")), ("pair", msgid("Two")))
SIDES = (("none", msgid("No side")), ("hand", msgid("Hand")), ("leg", msgid("Leg")))


def own_part(fields: Fields) -> list[ft.Control]:
    """The plan's own movements; each began as a copy of the movement it was made like."""
    own = value_at(fields.plan.draft, ("movements",)) or []
    parts = [_own(fields, number) for number in range(len(own))]
    none = [words(say(NO_OWN), colour=Role.INK_SOFT)]
    return [group(section_title(say("Movements of its own")), *(parts or none))]


def _own(fields: Fields, number: int) -> ft.Control:
    here: DraftPlace = ("movements", number)
    name = str(value_at(fields.plan.draft, (*here, "name")))
    return ft.Column(
        [
            rule(),
            fields.text(say("Name of the movement"), *here, "name", needed=True),
            fields.pattern(say("Pattern"), *here, "pattern"),
            fields.movement(say("Easier movement"), *here, "easier"),
            fields.text(say("End point"), *here, "end_point", needed=True),
            fields.lines(say("Cues"), CUE, *here, "cues"),
            fields.lines(say("Stop rules"), STOP_RULE, *here, "stop_rules"),
            *_variants(fields, here),
            ft.Row(
                [small(say("Remove {part}", part=name), "×", bound(fields.do.remove, ("movements",), number))]
            ),
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
                words(say("Version {number}", number=number + 1), strong=True),
                fields.order(
                    say("Version {number}", number=number + 1),
                    (*here, "variants"),
                    number,
                    count=len(variants),
                ),
            ),
            fields.text(say("Name of the version"), *variant, "name", needed=True),
            fields.choice(say("Dumbbells"), KITS, *variant, "kit"),
            fields.choice(say("What changes sides"), SIDES, *variant, "sides"),
            fields.movement(say("Harder movement"), *variant, "harder"),
            fields.text(say("How the weight is placed safely"), *variant, "placing"),
            *fields.wrong(*variant),
        ]
    return [words(say("Versions by kit"), strong=True), *parts, *fields.wrong(*here, "variants")]
