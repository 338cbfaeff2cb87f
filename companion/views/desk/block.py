"""One block on the coach's desk: its clock, and its movements in order."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.style.words import in_turn
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import CUE, STOP_RULE, STRETCH, Fields, headed, side_by_side, small
from companion.views.desk.own_choices import own_substitutes, starting_loads
from companion.views.desk.search import search
from companion.words.saying import msgid, own, said, say, words_here
from engine.movements.movement import Changing, Kit, changing_in
from engine.movements.terms import kit_term, pattern_term
from engine.plan.draft import DraftPlace, Put, value_at
from engine.plan.draft_parts import known_movements, movement_list

if TYPE_CHECKING:
    from engine.base.model import JsonObject
    from engine.movements.movement import Movement

UNITS = (("repetitions", msgid("Repetitions")), ("seconds", msgid("Seconds")))
COUNTS = (("total", msgid("In all")), ("per_side", msgid("Each side")), ("alternating", msgid("In turns")))
USUAL = (("timed", msgid("By the clock")), ("repetitions", msgid("By repetitions")))
NUMBERED = {
    "warm_up": msgid("{number}. Warm-up"),
    "practice": msgid("{number}. Practice"),
    "work": msgid("{number}. Work"),
    "cool_down": msgid("{number}. Cool-down"),
}
"""The title of a block by its kind."""
HALFWAY = {
    Changing.hand: msgid("Change hands halfway."),
    Changing.leg: msgid("Change legs halfway."),
    Changing.side: msgid("Change sides halfway."),
}
HALFWAY_WITH = {
    Changing.hand: msgid("Change hands halfway with {kits}."),
    Changing.leg: msgid("Change legs halfway with {kits}."),
    Changing.side: msgid("Change sides halfway with {kits}."),
}


def block_title(number: int, kind: str) -> str:
    """“3. Work”; ``number`` counts from 0."""
    return say(NUMBERED.get(kind, ""), number=number + 1)


def block_part(fields: Fields, number: int) -> list[ft.Control]:
    block: JsonObject = value_at(fields.plan.draft, ("blocks", number)) or {}
    kind = str(block.get("kind"))
    count = len(fields.plan.draft.content["blocks"])
    name = say("Block {number}", number=number + 1)
    return [
        group(
            section_title(block_title(number, kind)),
            ft.Row(fields.order(name, ("blocks",), number, count=count), spacing=Space.S),
            *fields.wrong("blocks", number),
            *_clock(fields, number, kind),
        ),
        _movements(fields, number, block),
        search(fields.plan.searched, fields),
    ]


def _clock(fields: Fields, number: int, kind: str) -> list[ft.Control]:
    here = ("blocks", number)
    least = fields.number(say("Minimum"), *here, "rounds", "min", unit=say("rounds"))
    most = fields.number(say("Maximum"), *here, "rounds", "max", unit=say("rounds"))
    wrong = fields.wrong(*here, "rounds")
    match kind:
        case "work":
            return [
                side_by_side(
                    fields.number(say("Work"), *here, "work_s", unit=say("s")),
                    fields.number(say("Rest"), *here, "rest_s", unit=say("s")),
                    fields.number(
                        say("After a round"),
                        *here,
                        "round_rest_s",
                        unit=say("s"),
                        needed=False,
                        hint=say("the same"),
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
            return [fields.number(say("Length, in equal parts"), *here, "duration_s", unit=say("s"))]


def _permitted(fields: Fields, here: tuple[str, int]) -> ft.Control:
    """How few rounds are better than no session; the minimum where the coach says nothing."""
    least = value_at(fields.plan.draft, (*here, "rounds", "min"))
    return fields.number(
        say("If short of time"),
        *here,
        "rounds",
        "fewest",
        unit=say("rounds"),
        needed=False,
        hint=words_here().argument(least) if isinstance(least, int) else None,
    )


def _practice(fields: Fields, number: int) -> list[ft.Control]:
    here = ("blocks", number)
    timed, counted = (value_at(fields.plan.draft, (*here, way)) for way in ("timed", "repetitions"))
    return [
        fields.choice(say("How you prefer it"), USUAL, *here, "usual"),
        *fields.wrong(*here, "usual"),
        _allow_button(
            fields,
            (*here, "timed"),
            say("Not by the clock" if timed else "Allow it by the clock as well"),
            None if timed else {"work_s": 30, "rest_s": 15},
        ),
        *(
            [
                side_by_side(
                    fields.number(say("Work"), *here, "timed", "work_s", unit=say("s")),
                    fields.number(say("Rest"), *here, "timed", "rest_s", unit=say("s")),
                )
            ]
            if timed
            else []
        ),
        _allow_button(
            fields,
            (*here, "repetitions"),
            say("Not by repetitions" if counted else "Allow it by repetitions as well"),
            None if counted else {"low": 6},
        ),
        *([amount(fields, (*here, "repetitions"))] if counted else []),
    ]


def _allow_button(fields: Fields, where: DraftPlace, label: str, figures: Any) -> ft.Control:
    """Allows one way of practice with its usual ``figures``, or takes away what is written of it."""
    return ft.Row([quiet_button(label, bound(fields.do.write, Put(where, figures)))])


def amount(fields: Fields, where: DraftPlace) -> ft.Control:
    return ft.Column(
        [
            side_by_side(
                fields.number(say("Amount"), *where, "low"),
                fields.number(say("up to"), *where, "high", needed=False),
            ),
            fields.choice(say("Of what"), UNITS, *where, "unit"),
            fields.choice(say("Counted"), COUNTS, *where, "count"),
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
        name = in_turn(own(movement.name) if movement else slug, turn)
        rows += [rule(), _movement(fields, (*where, index), movement, name, count=len(items))]
    return group(section_title(say("Movements")), *fields.wrong(*where), *rows)


def _movement(
    fields: Fields, where: DraftPlace, movement: Movement | None, name: str, *, count: int
) -> ft.Control:
    *listed, index = where
    assert isinstance(index, int)
    unfolded = fields.plan.open_item == index
    has_more = listed[-1] == "items" or "tempo" in (value_at(fields.plan.draft, where) or {})
    label = say("Close" if unfolded else "Open")
    whole = say("Close {movement}" if unfolded else "Open {movement}", movement=name)
    more = small(whole, label, bound(fields.do.unfold, index))
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
    """“Pattern: squat. Versions: no dumbbells and one dumbbell. Change hands halfway with one dumbbell.”"""
    kits = dict.fromkeys(variant.kit for variant in movement.variants)
    first = say(
        "Pattern: {pattern}. Versions: {kits}.", pattern=pattern_term(movement.pattern), kits=_listed(kits)
    )
    return " ".join([first, *_changes(movement)])


def _listed(kits: Iterable[Kit]) -> str:
    return words_here().listed(said(kit_term(kit)) for kit in kits)


def _changes(movement: Movement) -> list[str]:
    """What changes halfway, and with which kit where it does not change with every one."""
    changing: dict[Changing, list[Kit]] = {}
    for variant in movement.variants:
        if (what := changing_in(variant)) is not None:
            changing.setdefault(what, []).append(variant.kit)
    every = {variant.kit for variant in movement.variants}
    return [
        say(HALFWAY[what]) if set(kits) == every else say(HALFWAY_WITH[what], kits=_listed(kits))
        for what, kits in changing.items()
    ]


def _unfolded(fields: Fields, where: DraftPlace, movement: Movement | None) -> list[ft.Control]:
    easier = _easier(fields, where, movement)
    if where[-2] == "items":
        estimate = fields.number(say("Takes about"), *where, "estimate_s", unit=say("s"), needed=False)
        return [amount(fields, (*where, "amount")), estimate, *easier, own_substitutes(fields, where)]
    ends = own(movement.end_point) if movement else None
    return [
        side_by_side(
            fields.text(say("Tempo"), *where, "tempo", needed=True),
            fields.number(
                say("Its own work"), *where, "work_s", unit=say("s"), needed=False, hint=say("as the block")
            ),
        ),
        side_by_side(
            fields.number(
                say("Goal a side"),
                *where,
                "goal",
                unit=say("times"),
                needed=False,
                hint=say("the interval's"),
            ),
            fields.number(
                say("Still possible"), *where, "reserve", unit=say("times"), needed=False, hint="3"
            ),
        ),
        *starting_loads(fields, where, movement),
        fields.tick(say("May be left out"), *where, "optional", hint=say("where the plan allows it")),
        fields.tick(
            say("May be dropped during the session"), *where, "may_go", hint=say("to finish on time")
        ),
        *easier,
        own_substitutes(fields, where),
        fields.text(say("End point"), *where, "end_point", hint=ends),
        fields.lines(say("Your own cues, in place of the library's"), CUE, *where, "cues"),
        fields.lines(say("Your own stop rules, besides the library's"), STOP_RULE, *where, "stop_rules"),
    ]


def _easier(fields: Fields, where: DraftPlace, movement: Movement | None) -> list[ft.Control]:
    """The easier movement: the library's, or another one by its name."""
    known = known_movements(fields.plan.draft)
    usual = known.get(movement.easier) if movement and movement.easier else None
    hint = say("the library's: {movement}", movement=own(usual.name)) if usual else None
    return [fields.movement(say("Easier movement"), *where, "easier", hint=hint)]
