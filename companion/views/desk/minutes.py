"""Beside the plan: its minutes by kit and rounds, what minutes give, and the balance of the work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import Role, Space, Type
from companion.words.saying import msgid, said, say, words_here
from engine.base.message import Message, Own, in_turn
from engine.base.units import MS_PER_S
from engine.fit.as_planned import PlannedRow
from engine.fit.minutes_table import USUAL_MINUTES, MinutesGive
from engine.movements.movement import Kit
from engine.movements.terms import kit_term

if TYPE_CHECKING:
    from companion.state.plan_on_desk import PlanOnDesk


KITS = {Kit.none: msgid("None"), Kit.single: msgid("One"), Kit.pair: msgid("Two")}
KITS_INSIDE = {
    Kit.none: msgid("None, sides changed inside"),
    Kit.single: msgid("One, sides changed inside"),
    Kit.pair: msgid("Two, sides changed inside"),
}
BY = msgid("by dumbbells")
NO_FIGURES = msgid("Minutes and balance appear here as soon as the plan has no faults.")
STALE = msgid("From the last plan without faults.")
COLUMNS_IN_A_TABLE = 4
"""No more fit at the desk; further rounds go into a second table."""


def figures_part(plan: PlanOnDesk) -> list[ft.Control]:
    figures = plan.figures
    if not figures.rows:
        return [group(section_title(say("Minutes")), words(say(NO_FIGURES), colour=Role.INK_SOFT))]
    stale = [words(say(STALE), colour=Role.INK_SOFT)] if plan.faults else []
    balance: list[ft.Control] = [words(said(line)) for line in figures.balance]
    return [
        *stale,
        group(section_title(say("Minutes as planned"), detail=say(BY)), *_tables(figures.rows)),
        group(section_title(say("What the minutes give"), detail=say(BY)), *_gives(figures.gives)),
        group(section_title(say("Volume and balance")), *balance),
    ]


def _tables(rows: Sequence[PlannedRow]) -> list[ft.Control]:
    rounds = tuple(rows[0].by_rounds)
    slices = [rounds[at : at + COLUMNS_IN_A_TABLE] for at in range(0, len(rounds), COLUMNS_IN_A_TABLE)]
    return [_table(rows, some) for some in slices]


def _table(rows: Sequence[PlannedRow], rounds: Sequence[int]) -> ft.Control:
    head = _line(say("Rounds"), _figures(rounds), strong=True)
    lines = [
        _line(_row_name(row), [_length(row.by_rounds[number]) for number in rounds])
        for row in rows
        if row.side_change is None or _changes(rows, row.kit)
    ]
    return ft.Column([head, *lines], spacing=2, tight=True)


def _changes(rows: Sequence[PlannedRow], kit: Kit) -> bool:
    """Whether a change of sides inside the interval saves time; otherwise one line is enough for both."""
    off, on = (row for row in rows if row.kit is kit)
    return off.by_rounds != on.by_rounds


def _row_name(row: PlannedRow) -> str:
    return say((KITS if row.side_change is None else KITS_INSIDE)[row.kit])


@safe_component
def _line(name: str, cells: Sequence[str], *, strong: bool = False) -> ft.Control:
    """A line of a table, or a sentence if the text is large; a screen reader reads it as a whole."""
    scale, probe = use_text_scale()
    whole = say("{name}: {cells:row}", name=name, cells=in_turn(Own(own=cell) for cell in cells))
    if scale >= LARGE:
        return ft.Stack([probe, words(whole, strong=strong)])
    shown = [
        ft.Container(words(cell, strong=strong), width=58, alignment=ft.Alignment.CENTER_RIGHT)
        for cell in cells
    ]
    row = ft.Row([ft.Container(words(name, strong=strong), expand=True), *shown], spacing=Space.XS)
    table = ft.Semantics(label=whole, container=True, exclude_semantics=True, content=row)
    return ft.Stack([probe, table])


def _length(length_ms: int | None) -> str:
    return "–" if length_ms is None else words_here().length(length_ms / MS_PER_S, "clock")


def _gives(gives: Sequence[MinutesGive]) -> list[ft.Control]:
    lines: list[ft.Control] = [_line(say("Minutes"), _figures(USUAL_MINUTES), strong=True)]
    for kit in Kit:
        of_kit = [one for one in gives if one.kit is kit]
        lines.append(_line(say(KITS[kit]), [_given(one) for one in of_kit]))
    key = say("Rounds of work; * is below your minimum, – is no session.")
    return [
        ft.Column(lines, spacing=2, tight=True),
        words(key, size=Type.CAPTION, colour=Role.INK_SOFT),
        *_warnings(gives),
    ]


def _figures(numbers: Sequence[int]) -> list[str]:
    return [words_here().argument(number) for number in numbers]


def _given(one: MinutesGive) -> str:
    rounds = "–" if one.rounds is None else words_here().argument(one.rounds)
    return f"{rounds}*" if one.rounds is not None and one.warning else rounds


def _warnings(gives: Sequence[MinutesGive]) -> list[ft.Control]:
    """Each warning once, with the kits it holds for."""
    kits: dict[tuple[int, Message], list[str]] = {}
    for one in gives:
        if one.warning:
            kits.setdefault((one.minutes, one.warning), []).append(said(kit_term(one.kit)))
    by_minutes = sorted(kits.items(), key=lambda one: one[0][0])
    lines = [_warning(minutes, warning, of) for (minutes, warning), of in by_minutes]
    return [notice("caution", "\n".join(lines), title=say("The minimum does not fit"))] if lines else []


def _warning(minutes: int, warning: Message, kits: Sequence[str]) -> str:
    if len(kits) == len(Kit):
        return say("{minutes} min: {warning}", minutes=minutes, warning=warning)
    listed = words_here().listed(kits)
    return say("{minutes} min with {kits}: {warning}", minutes=minutes, kits=listed, warning=warning)
