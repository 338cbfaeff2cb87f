"""One block on the coach's desk: its clock, its movements in order, and the search for one more."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import flet as ft

from companion.views.controls.buttons import bound
from companion.views.controls.inputs import field
from companion.views.controls.parts import group, quiet_button, rule, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.desk.fields import STRETCH, Pen, headed, side_by_side, small
from engine.movements.words import KIT_WORDS
from engine.plan.draft import Put, at
from engine.plan.draft_parts import known_movements, movement_list, movements_found
from engine.plan.words import sides_words

if TYPE_CHECKING:
    from companion.actions import Actions
    from engine.base.model import JsonObject
    from engine.movements.movement import Movement


KIND_WORDS = {"warm_up": "Warm-up", "practice": "Practice", "work": "Work", "cool_down": "Cool-down"}
MOST_FOUND = 6
NEW_NAME = "Or a new movement, named"
SEARCH = "Find a movement by name or pattern"
UNITS = (("repetitions", "Repetitions"), ("seconds", "Seconds"))
COUNTS = (("total", "In all"), ("per_side", "Each side"), ("alternating", "In turns"))
USUAL = (("timed", "By the clock"), ("repetitions", "By repetitions"))


def block_part(pen: Pen, number: int) -> list[ft.Control]:
    block: JsonObject = at(pen.desk.draft, ("blocks", number)) or {}
    kind = str(block.get("kind"))
    count = len(pen.desk.draft.content["blocks"])
    name = f"block {number + 1}"
    return [
        group(
            section_title(f"{number + 1}. {KIND_WORDS.get(kind, kind)}"),
            ft.Row(pen.order(name, ("blocks",), number, count=count), spacing=Space.S),
            *pen.wrong("blocks", number),
            *_clock(pen, number, kind),
        ),
        _movements(pen, number, block),
        search(pen.desk.searched, pen),
    ]


def _clock(pen: Pen, number: int, kind: str) -> list[ft.Control]:
    here = ("blocks", number)
    rounds = [
        side_by_side(
            pen.number("Rounds at least", *here, "rounds", "min", unit="rounds"),
            pen.number("at most", *here, "rounds", "max", unit="rounds"),
        ),
        *pen.wrong(*here, "rounds"),
    ]
    match kind:
        case "work":
            return [
                side_by_side(
                    pen.number("Work", *here, "work_s", unit="s"),
                    pen.number("Rest", *here, "rest_s", unit="s"),
                    pen.number("After a round", *here, "round_rest_s", unit="s", needed=False, hint="same"),
                ),
                *rounds,
            ]
        case "warm_up":
            return rounds
        case "practice":
            return _practice(pen, number)
        case _:
            return [pen.number("Length, shared in equal parts", *here, "duration_s", unit="s")]


def _practice(pen: Pen, number: int) -> list[ft.Control]:
    here = ("blocks", number)
    timed, counted = (at(pen.desk.draft, (*here, way)) for way in ("timed", "repetitions"))
    return [
        pen.choice("How the coach prefers it", USUAL, *here, "usual"),
        *pen.wrong(*here, "usual"),
        *_either(pen, (*here, "timed"), "by the clock", timed, {"work_s": 30, "rest_s": 15}),
        *(
            [
                side_by_side(
                    pen.number("Work", *here, "timed", "work_s", unit="s"),
                    pen.number("Rest", *here, "timed", "rest_s", unit="s"),
                )
            ]
            if timed
            else []
        ),
        *_either(pen, (*here, "repetitions"), "by repetitions", counted, {"low": 6}),
        *([dose(pen, (*here, "repetitions"))] if counted else []),
    ]


def _either(pen: Pen, where: tuple[str | int, ...], label: str, held: Any, usual: Any) -> list[ft.Control]:
    """One way of practice: there or not."""
    put = Put(where, None if held else usual)
    said = f"Not {label}" if held else f"Allow it {label} as well"
    return [ft.Row([quiet_button(said, bound(pen.do.write, put))])]


def dose(pen: Pen, where: tuple[str | int, ...]) -> ft.Control:
    return ft.Column(
        [
            side_by_side(
                pen.number("Dose", *where, "low"), pen.number("up to", *where, "high", needed=False)
            ),
            pen.choice("Of what", UNITS, *where, "unit"),
            pen.choice("Counted", COUNTS, *where, "count"),
            *pen.wrong(*where),
        ],
        spacing=Space.S,
        horizontal_alignment=STRETCH,
    )


def _movements(pen: Pen, number: int, block: JsonObject) -> ft.Control:
    where = ("blocks", number, movement_list(block))
    items = at(pen.desk.draft, where) or []
    known = known_movements(pen.desk.draft)
    rows: list[ft.Control] = []
    for index, item in enumerate(items):
        slug = item.get("movement") if isinstance(item, dict) else item
        rows += [rule(), _movement(pen, (*where, index), str(slug), known, count=len(items))]
    return group(section_title("Movements"), *pen.wrong(*where), *rows)


def _movement(
    pen: Pen, where: tuple[str | int, ...], slug: str, known: dict[str, Movement], *, count: int
) -> ft.Control:
    *listed, index = where
    assert isinstance(index, int)
    movement = known.get(slug)
    name = movement.name if movement else slug
    unfolded = pen.desk.open_item == index
    has_more = listed[-1] == "items" or "tempo" in (at(pen.desk.draft, where) or {})
    way = "Close" if unfolded else "Open"
    more = small(f"{way} {name}", way, bound(pen.do.unfold, index))
    ways = [*([more] if has_more else []), *pen.order(name, tuple(listed), index, count=count)]
    head = headed(words(name, size=Type.LEAD, strong=True), ways)
    about = [words(_about(movement), size=Type.CAPTION, colour=Role.INK_SOFT)] if movement else []
    return ft.Column(
        [
            head,
            *about,
            *pen.wrong(*where),
            *(_unfolded(pen, where, movement) if unfolded and has_more else []),
        ],
        spacing=Space.XS,
        horizontal_alignment=STRETCH,
    )


def _about(movement: Movement) -> str:
    """“Squat; with no dumbbells, one dumbbell; change hands halfway with one dumbbell.”"""
    kits = ", ".join(KIT_WORDS[kit] for kit in dict.fromkeys(form.kit for form in movement.forms))
    parts = (movement.pattern.replace("_", " ").capitalize(), f"with {kits}", sides_words(movement))
    return "; ".join(filter(None, parts)) + "."


def _unfolded(pen: Pen, where: tuple[str | int, ...], movement: Movement | None) -> list[ft.Control]:
    easier = _easier(pen, where, movement)
    if where[-2] == "items":
        estimate = pen.number("Takes about", *where, "estimate_s", unit="s", needed=False)
        return [dose(pen, (*where, "dose")), estimate, *easier]
    ends = movement.end_point if movement else None
    return [
        side_by_side(
            pen.text("Tempo", *where, "tempo", needed=True),
            pen.number("Its own work", *where, "work_s", unit="s", needed=False, hint="as the block"),
        ),
        pen.tick("May be left out", *where, "optional", hint="where the plan allows it"),
        *easier,
        pen.text("End point", *where, "end_point", hint=ends),
        pen.lines("Cues of yours, in place of the library's", "Cue", *where, "cues"),
        pen.lines("Stop rules besides the library's", "Stop rule", *where, "stop_rules"),
    ]


def _easier(pen: Pen, where: tuple[str | int, ...], movement: Movement | None) -> list[ft.Control]:
    """The easier form: the library's own next one, or another one by its name."""
    known = known_movements(pen.desk.draft)
    usual = known.get(movement.easier) if movement and movement.easier else None
    hint = f"the library's: {usual.name}" if usual else None
    return [pen.movement("Easier movement", *where, "easier", hint=hint)]


@safe_component
def search(written: str, pen: Pen) -> ft.Control:
    """Movements of the library and the plan by name or pattern; a press adds one to the block."""
    found = movements_found(pen.desk.draft, written) if written.strip() else ()
    made_anew = f"{pen.desk.open} {pen.desk.replaced}"
    new_name, set_new_name = ft.use_state("")
    fault, set_fault = ft.use_state("")

    def add_own(like: str, do: Actions) -> Any:
        async def add() -> None:
            try:
                await do.add_own_movement(like, new_name)
            except ValueError as wrong:
                set_fault(str(wrong))
                return
            set_new_name("")
            set_fault("")

        return add

    rows: list[ft.Control] = [
        ft.Row([quiet_button(f"Add {one.name}", bound(pen.do.add_movement, one.slug)), words(_pattern(one))])
        for one in found[:MOST_FOUND]
    ]
    further = len(found) - MOST_FOUND
    said = f"{further} more; write more of the name." if further > 0 else ""
    nothing = "Nothing is called so." if written.strip() and not found else said
    own: list[ft.Control] = []
    if found:
        like = found[0]
        box = field(NEW_NAME, new_name, set_new_name, fault=fault or None, key=f"own {made_anew}")
        make = quiet_button(f"Make it like {like.name}", add_own(like.slug, pen.do))
        own = [rule(), box, ft.Row([make])]
    return group(
        field(
            SEARCH, written, pen.do.search_movement, on_inside=pen.do.mind_field, key=f"search {made_anew}"
        ),
        *rows,
        *([words(nothing, colour=Role.INK_SOFT)] if nothing else []),
        *own,
    )


def _pattern(movement: Movement) -> str:
    return movement.pattern.replace("_", " ")
