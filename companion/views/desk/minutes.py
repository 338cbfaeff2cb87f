"""Beside the plan: its minutes by kit and rounds, what minutes give, and the balance of the work."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import Role, Space, Type
from companion.words.words import english
from engine.base.message import Message
from engine.base.phrases import listed
from engine.base.units import format_duration
from engine.fit.as_planned import PlannedRow
from engine.fit.minutes_table import USUAL_MINUTES, MinutesGive
from engine.movements.movement import Kit
from engine.movements.terms import kit_term

if TYPE_CHECKING:
    from companion.state.plan_on_desk import PlanOnDesk


KITS = {Kit.none: "None", Kit.single: "One", Kit.pair: "Two"}
BY = "by dumbbells"
INSIDE = ", sides changed inside"
NO_FIGURES = "Minutes and balance stand here as soon as the plan has no faults."
STALE = "As of the last plan without faults."
COLUMNS_IN_A_TABLE = 4
"""No more fit at the desk; further rounds go into a second table."""


def figures_part(plan: PlanOnDesk) -> list[ft.Control]:
    figures = plan.figures
    if not figures.rows:
        return [group(section_title("Minutes"), words(NO_FIGURES, colour=Role.INK_SOFT))]
    stale = [words(STALE, colour=Role.INK_SOFT)] if plan.faults else []
    balance: list[ft.Control] = [words(english(line)) for line in figures.balance]
    return [
        *stale,
        group(section_title("Minutes as planned", detail=BY), *_tables(figures.rows)),
        group(section_title("What so many minutes give", detail=BY), *_gives(figures.gives)),
        group(section_title("Volume and balance"), *balance),
    ]


def _tables(rows: Sequence[PlannedRow]) -> list[ft.Control]:
    rounds = tuple(rows[0].by_rounds)
    slices = [rounds[at : at + COLUMNS_IN_A_TABLE] for at in range(0, len(rounds), COLUMNS_IN_A_TABLE)]
    return [_table(rows, some) for some in slices]


def _table(rows: Sequence[PlannedRow], rounds: Sequence[int]) -> ft.Control:
    head = _line("Rounds", [str(number) for number in rounds], strong=True)
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
    return KITS[row.kit] + ("" if row.side_change is None else INSIDE)


@safe_component
def _line(name: str, cells: Sequence[str], *, strong: bool = False) -> ft.Control:
    """A line of a table, or a sentence if the text is large; a screen reader reads it as a whole."""
    scale, probe = use_text_scale()
    said = f"{name}: {', '.join(cells)}"
    if scale >= LARGE:
        return ft.Stack([probe, words(said, strong=strong)])
    shown = [
        ft.Container(words(cell, strong=strong), width=58, alignment=ft.Alignment.CENTER_RIGHT)
        for cell in cells
    ]
    row = ft.Row([ft.Container(words(name, strong=strong), expand=True), *shown], spacing=Space.XS)
    table = ft.Semantics(label=said, container=True, exclude_semantics=True, content=row)
    return ft.Stack([probe, table])


def _length(length_ms: int | None) -> str:
    return "–" if length_ms is None else format_duration(length_ms)


def _gives(gives: Sequence[MinutesGive]) -> list[ft.Control]:
    lines: list[ft.Control] = [_line("Minutes", [str(minutes) for minutes in USUAL_MINUTES], strong=True)]
    for kit in Kit:
        of_kit = [one for one in gives if one.kit is kit]
        lines.append(_line(KITS[kit], [_given(one) for one in of_kit]))
    said = [
        words(
            "Rounds of work; * is below your minimum, – is no session.",
            size=Type.CAPTION,
            colour=Role.INK_SOFT,
        )
    ]
    return [ft.Column(lines, spacing=2, tight=True), *said, *_warnings(gives)]


def _given(one: MinutesGive) -> str:
    return "–" if one.rounds is None else f"{one.rounds}{'*' if one.warning else ''}"


def _warnings(gives: Sequence[MinutesGive]) -> list[ft.Control]:
    """Each warning once, with the kits it holds for."""
    kits: dict[tuple[int, Message], list[str]] = {}
    for one in gives:
        if one.warning:
            kits.setdefault((one.minutes, one.warning), []).append(english(kit_term(one.kit)))
    said = [
        f"{minutes} min{'' if len(of) == len(Kit) else f' with {listed(of)}'}: {english(warning)}"
        for (minutes, warning), of in sorted(kits.items(), key=lambda one: one[0][0])
    ]
    return [notice("caution", "\n".join(said), title="The minimum does not fit")] if said else []
