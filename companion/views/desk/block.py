"""One block on the coach's desk: its clock, and its movements in order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import flet as ft

from companion.style.words import in_turn
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Fields, headed, side_by_side, small
from companion.views.desk.own_choices import own_substitutes, starting_loads
from companion.views.desk.search import search
from engine.movements.words import KIT_WORDS
from engine.plan.draft import DraftPlace, Put, value_at
from engine.plan.draft_parts import known_movements, movement_list
from engine.plan.words import BLOCK_KIND_WORDS, sides_words

if TYPE_CHECKING:
    from engine.base.model import JsonObject
    from engine.movements.movement import Movement

UNITS = (("repetitions", "Repetitions"), ("seconds", "Seconds"))
COUNTS = (("total", "In all"), ("per_side", "Each side"), ("alternating", "In turns"))
USUAL = (("timed", "By the clock"), ("repetitions", "By repetitions"))


def block_part(fields: Fields, number: int) -> list[ft.Control]:
    block: JsonObject = value_at(fields.plan.draft, ("blocks", number)) or {}
    kind = str(block.get("kind"))
    count = len(fields.plan.draft.content["blocks"])
    name = f"block {number + 1}"
    return [
        group(
            section_title(f"{number + 1}. {BLOCK_KIND_WORDS.get(kind, kind)}"),
            ft.Row(fields.order(name, ("blocks",), number, count=count), spacing=Space.S),
            *fields.wrong("blocks", number),
            *_clock(fields, number, kind),
        ),
        _movements(fields, number, block),
        search(fields.plan.searched, fields),
    ]


def _clock(fields: Fields, number: int, kind: str) -> list[ft.Control]:
    here = ("blocks", number)
    least = fields.number("Rounds at least", *here, "rounds", "min", unit="rounds")
    most = fields.number("at most", *here, "rounds", "max", unit="rounds")
    wrong = fields.wrong(*here, "rounds")
    match kind:
        case "work":
            return [
                side_by_side(
                    fields.number("Work", *here, "work_s", unit="s"),
                    fields.number("Rest", *here, "rest_s", unit="s"),
                    fields.number(
                        "After a round", *here, "round_rest_s", unit="s", needed=False, hint="same"
                    ),
                ),
                side_by_side(least, most, _permitted(fields, here)),
                *wrong,
            ]
        case "warm_up":
            return [side_by_side(least, most), *wrong]
        case "practice":
            return _practice(fields, number)
        case _:
            return [fields.number("Length, shared in equal parts", *here, "duration_s", unit="s")]


def _permitted(fields: Fields, here: tuple[str, int]) -> ft.Control:
    """How few rounds are better than no session."""
    return fields.number(
        "short of time", *here, "rounds", "fewest", unit="rounds", needed=False, hint="never fewer"
    )


def _practice(fields: Fields, number: int) -> list[ft.Control]:
    here = ("blocks", number)
    timed, counted = (value_at(fields.plan.draft, (*here, way)) for way in ("timed", "repetitions"))
    return [
        fields.choice("How the coach prefers it", USUAL, *here, "usual"),
        *fields.wrong(*here, "usual"),
        _allow_button(fields, (*here, "timed"), "by the clock", timed, {"work_s": 30, "rest_s": 15}),
        *(
            [
                side_by_side(
                    fields.number("Work", *here, "timed", "work_s", unit="s"),
                    fields.number("Rest", *here, "timed", "rest_s", unit="s"),
                )
            ]
            if timed
            else []
        ),
        _allow_button(fields, (*here, "repetitions"), "by repetitions", counted, {"low": 6}),
        *([amount(fields, (*here, "repetitions"))] if counted else []),
    ]


def _allow_button(fields: Fields, where: DraftPlace, label: str, written: Any, usual: Any) -> ft.Control:
    """Allows one way of practice with its ``usual`` figures, or takes away what is written of it."""
    said = f"Not {label}" if written else f"Allow it {label} as well"
    return ft.Row([quiet_button(said, bound(fields.do.write, Put(where, None if written else usual)))])


def amount(fields: Fields, where: DraftPlace) -> ft.Control:
    return ft.Column(
        [
            side_by_side(
                fields.number("Amount", *where, "low"), fields.number("up to", *where, "high", needed=False)
            ),
            fields.choice("Of what", UNITS, *where, "unit"),
            fields.choice("Counted", COUNTS, *where, "count"),
            *fields.wrong(*where),
        ],
        spacing=Space.S,
        horizontal_alignment=STRETCH,
    )


def _movements(fields: Fields, number: int, block: JsonObject) -> ft.Control:
    where = ("blocks", number, movement_list(block))
    items = value_at(fields.plan.draft, where) or []
    known = known_movements(fields.plan.draft)
    slugs = [str(item.get("movement") if isinstance(item, dict) else item) for item in items]
    rows: list[ft.Control] = []
    for index, slug in enumerate(slugs):
        turn = slugs[: index + 1].count(slug) if slugs.count(slug) > 1 else None
        movement = known.get(slug)
        name = in_turn(movement.name if movement else slug, turn)
        rows += [rule(), _movement(fields, (*where, index), movement, name, count=len(items))]
    return group(section_title("Movements"), *fields.wrong(*where), *rows)


def _movement(
    fields: Fields, where: DraftPlace, movement: Movement | None, name: str, *, count: int
) -> ft.Control:
    *listed, index = where
    assert isinstance(index, int)
    unfolded = fields.plan.open_item == index
    has_more = listed[-1] == "items" or "tempo" in (value_at(fields.plan.draft, where) or {})
    label = "Close" if unfolded else "Open"
    more = small(f"{label} {name}", label, bound(fields.do.unfold, index))
    buttons = [*([more] if has_more else []), *fields.order(name, tuple(listed), index, count=count)]
    head = headed(words(name, size=Type.LEAD, strong=True), buttons)
    about = [words(_about(movement), size=Type.CAPTION, colour=Role.INK_SOFT)] if movement else []
    return ft.Column(
        [
            head,
            *about,
            *fields.wrong(*where),
            *(_unfolded(fields, where, movement) if unfolded and has_more else []),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _about(movement: Movement) -> str:
    """“Squat; with no dumbbells, one dumbbell; change hands halfway with one dumbbell.”"""
    kits = ", ".join(KIT_WORDS[kit] for kit in dict.fromkeys(variant.kit for variant in movement.variants))
    parts = (movement.pattern.replace("_", " ").capitalize(), f"with {kits}", sides_words(movement))
    return "; ".join(filter(None, parts)) + "."


def _unfolded(fields: Fields, where: DraftPlace, movement: Movement | None) -> list[ft.Control]:
    easier = _easier(fields, where, movement)
    if where[-2] == "items":
        estimate = fields.number("Takes about", *where, "estimate_s", unit="s", needed=False)
        return [amount(fields, (*where, "amount")), estimate, *easier, own_substitutes(fields, where)]
    ends = movement.end_point if movement else None
    return [
        side_by_side(
            fields.text("Tempo", *where, "tempo", needed=True),
            fields.number("Its own work", *where, "work_s", unit="s", needed=False, hint="as the block"),
        ),
        side_by_side(
            fields.number("Goal a side", *where, "goal", unit="times", needed=False, hint="the interval's"),
            fields.number("Have left", *where, "reserve", unit="times", needed=False, hint="3"),
        ),
        *starting_loads(fields, where, movement),
        fields.tick("May be left out", *where, "optional", hint="where the plan allows it"),
        fields.tick("May go while the session runs", *where, "may_go", hint="to keep the finish"),
        *easier,
        own_substitutes(fields, where),
        fields.text("End point", *where, "end_point", hint=ends),
        fields.lines("Cues of yours, in place of the library's", "Cue", *where, "cues"),
        fields.lines("Stop rules besides the library's", "Stop rule", *where, "stop_rules"),
    ]


def _easier(fields: Fields, where: DraftPlace, movement: Movement | None) -> list[ft.Control]:
    """The easier movement: the library's, or another one by its name."""
    known = known_movements(fields.plan.draft)
    usual = known.get(movement.easier) if movement and movement.easier else None
    hint = f"the library's: {usual.name}" if usual else None
    return [fields.movement("Easier movement", *where, "easier", hint=hint)]
