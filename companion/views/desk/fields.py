"""The fields of the coach's desk: each writes one place of the draft and shows the faults there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import flet as ft

from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.field import field
from companion.views.controls.parts import words
from companion.views.controls.safe import safe_component
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import TOUCH_PX, Role, Space, Type
from companion.views.controls.tick import tick_row
from companion.words.saying import msgid, own, said, say, words_here
from engine.base.units import LoadUnit, format_load, grams
from engine.movements.movement import MovementPattern
from engine.movements.terms import pattern_term
from engine.plan.draft import DraftPlace, Put, value_at
from engine.plan.draft_faults import faults_at, faults_within
from engine.plan.draft_parts import known_movements

if TYPE_CHECKING:
    from companion.actions.desk.edits import DeskEdits
    from companion.state.plan_on_desk import PlanOnDesk


A_LOAD = msgid("Write a number such as 12 or 12.5.")
STRETCH = ft.CrossAxisAlignment.STRETCH


class Line(NamedTuple):
    """What a line of a list of sentences is called, and its buttons."""

    label: str
    remove: str
    add: str


CUE = Line(msgid("Cue {number}"), msgid("Remove cue {number}"), msgid("Add a cue"))
STOP_RULE = Line(msgid("Stop rule {number}"), msgid("Remove stop rule {number}"), msgid("Add a stop rule"))


@dataclass(frozen=True)
class Fields:
    """Makes the fields of one plan: ``plan`` is what is written, ``do`` writes it."""

    plan: PlanOnDesk
    do: DeskEdits

    def text(
        self, label: str, *where: str | int, hint: str | None = None, needed: bool = False, lines: int = 1
    ) -> ft.Control:
        """A text. Unless it is ``needed``, an empty one is written as none."""
        return self._field(
            label, where, lambda said: said if said or needed else None, hint=hint, lines=lines
        )

    def number(
        self, label: str, *where: str | int, unit: str = "", needed: bool = True, hint: str | None = None
    ) -> ft.Control:
        """A whole number; ``hint`` tells what an empty field means."""
        return self._field(label, where, lambda said: _number(said, needed), unit=unit, hint=hint)

    def load(self, label: str, *where: str | int, hint: str | None = None) -> ft.Control:
        """A load in the coach's unit, written as grams; ``hint`` tells what an empty field means."""
        unit, written = self.do.unit, value_at(self.plan.draft, where)
        shown = format_load(written, unit).split()[0] if isinstance(written, int) else written or ""
        return self._field(
            label, where, lambda said: _load(said, unit), unit=unit.value, shown=shown, hint=hint
        )

    def movement(self, label: str, *where: str | int, hint: str | None = None) -> ft.Control:
        """Another movement, by its name or id."""
        known = known_movements(self.plan.draft)
        by_name = {one.name.lower(): slug for slug, one in known.items()}
        by_name |= {own(one.name).lower(): slug for slug, one in known.items()}
        written = value_at(self.plan.draft, where)
        shown = own(known[written].name) if written in known else written

        def read(said: str) -> str | None:
            name = said.strip().lower()
            return by_name.get(name, "-".join(name.split())) or None

        return self._field(label, where, read, shown=shown, hint=hint)

    def pattern(self, label: str, *where: str | int) -> ft.Control:
        """A movement pattern, by its name; the hint lists them all."""
        names = {pattern.value: said(pattern_term(pattern)) for pattern in MovementPattern}
        by_name = {name.lower(): value for value, name in names.items()}
        written = value_at(self.plan.draft, where)

        def read(named: str) -> str:
            return by_name.get(named.strip().lower(), named)

        return self._field(
            label, where, read, shown=names.get(written, written), hint=words_here().listed(names.values())
        )

    def numbers(self, label: str, *where: str | int) -> ft.Control:
        """Several numbers with commas between them."""
        written = value_at(self.plan.draft, where)
        shown = ", ".join(map(str, written)) if isinstance(written, list) else written
        return self._field(label, where, _numbers, shown=shown)

    def _field(
        self,
        label: str,
        where: DraftPlace,
        read: Callable[[str], Any],
        *,
        unit: str = "",
        shown: Any = None,
        **more: Any,
    ) -> ft.Control:
        async def write(said: str) -> None:
            await self.do.write(Put(where, read(said)))

        written = value_at(self.plan.draft, where) if shown is None else shown
        made: ft.Control = field(
            label,
            "" if written is None else str(written),
            write,
            suffix=unit or None,
            fault=" ".join(self._faults(where)) or None,
            number=bool(unit),
            key="/".join(map(str, (*where, self.plan.refills))),
            on_inside=self.do.mind_field,
            **more,
        )
        return made

    def _faults(self, where: DraftPlace) -> list[str]:
        """What is wrong at a place; of a load in words that its unit has."""
        written = value_at(self.plan.draft, where)
        found = [said(one.what) for one in faults_within(self.plan.faults, where)]
        is_load = isinstance(where[-1], str) and where[-1].endswith("_g")
        return [say(A_LOAD)] if is_load and isinstance(written, str) else found

    def choice(self, label: str, options: Sequence[tuple[str, str]], *where: str | int) -> ft.Control:
        """One of several values, each with its text in English."""

        async def choose(value: str) -> None:
            await self.do.write(Put(where, value))

        shown = [(value, say(text)) for value, text in options]
        return titled(label, choice_row(shown, str(value_at(self.plan.draft, where)), choose, name=label))

    def tick(self, label: str, *where: str | int, hint: str | None = None) -> ft.Control:
        async def toggle(ticked: bool) -> None:
            await self.do.write(Put(where, ticked))

        return tick_row(label, bool(value_at(self.plan.draft, where)), toggle, hint=hint)

    def lines(self, label: str, one: Line, *where: str | int) -> ft.Control:
        """A list of sentences."""
        written = value_at(self.plan.draft, where) or []
        rows: list[ft.Control] = [
            ft.Row(
                [
                    ft.Container(
                        self.text(say(one.label, number=n + 1), *where, n, needed=True), expand=True
                    ),
                    small(say(one.remove, number=n + 1), "×", bound(self.do.remove, where, n)),
                ],
                vertical_alignment=ft.CrossAxisAlignment.END,
                spacing=Space.S,
            )
            for n in range(len(written))
        ]
        add = quiet_button(say(one.add), bound(self.do.insert, where, ""))
        return ft.Column(
            [words(label, strong=True), *rows, ft.Row([add]), *self.wrong(*where)],
            spacing=Space.XS,
            horizontal_alignment=STRETCH,
        )

    def wrong(self, *where: str | int) -> list[ft.Control]:
        """The faults of a place as a whole."""
        return [
            words(say("Check: {fault}", fault=what), size=Type.CAPTION, strong=True, colour=Role.DANGER)
            for what in faults_at(self.plan.faults, where)
        ]

    def order(self, name: str, where: DraftPlace, number: int, *, count: int) -> list[ft.Control]:
        """The buttons that move one part of a list up or down, or remove it."""
        move = self.do.move
        return [
            small(say("{part} up", part=name), "↑", bound(move, where, number, -1), disabled=number == 0),
            small(
                say("{part} down", part=name),
                "↓",
                bound(move, where, number, 1),
                disabled=number == count - 1,
            ),
            small(say("Remove {part}", part=name), "×", bound(self.do.remove, where, number)),
        ]


def _number(said: str, needed: bool) -> int | str | None:
    """The number, or what was written if it is none: the draft says what is wrong with it."""
    said = said.strip()
    if said.isascii() and said.isdigit() and len(said) < 10:
        return int(said)
    return said if said or needed else None


def _load(said: str, unit: LoadUnit) -> int | str | None:
    """Reads a load as grams. Keeps the unit with what is no number, so that nobody reads it as grams."""
    figure = said.strip().removesuffix(unit.value).strip()
    try:
        return grams(figure, unit) if figure else None
    except ValueError:
        return f"{figure} {unit}"


def _numbers(said: str) -> list[int | str | None]:
    return [_number(one, True) for one in said.split(",")] if said.strip() else []


def small(name: str, sign: str, on_click: Callable[..., Any], *, disabled: bool = False) -> ft.Control:
    """A button with a sign as its label; ``name`` is what a screen reader says."""
    return quiet_button(sign, on_click, name=name, disabled=disabled)


def titled(label: str, content: ft.Control) -> ft.Control:
    return ft.Column(
        [words(label, strong=True), content], spacing=Space.XS, tight=True, horizontal_alignment=STRETCH
    )


@safe_component
def side_by_side(*fields: ft.Control) -> ft.Control:
    """Equally wide in one row, or below each other if the text is large."""
    scale, probe = use_text_scale()
    large = ft.Column(list(fields), spacing=Space.S, tight=True, horizontal_alignment=STRETCH)
    usual = ft.Row(
        [ft.Container(one, expand=True) for one in fields],
        spacing=Space.S,
        vertical_alignment=ft.CrossAxisAlignment.START,
    )
    return ft.Stack([probe, large if scale >= LARGE else usual])


@safe_component
def headed(title: ft.Control, buttons: Sequence[ft.Control]) -> ft.Control:
    """The title of a part with its buttons beside it, or below it if the text is large."""
    scale, probe = use_text_scale()
    row = ft.Row(list(buttons), spacing=Space.XS, tight=True)
    large = ft.Column([title, row], spacing=Space.XS, tight=True)
    usual = ft.Row([ft.Container(title, expand=True), row], spacing=Space.XS)
    return ft.Stack([probe, large if scale >= LARGE else usual])


def in_any_order(rows: list[ft.Control], fields: Fields, *where: str | int) -> ft.Control:
    """The parts of a list below each other; each can be dragged to its place by its handle.

    The client moves a dropped part by itself. A new key has the list drawn again as the draft has it.
    """

    async def drop(event: ft.OnReorderEvent) -> None:
        old, new = event.old_index, event.new_index
        if old is not None and new is not None and old != new:
            await fields.do.move(where, old, new - old)

    made = f"{where} {fields.plan.refills}"
    return ft.ReorderableListView(controls=rows, show_default_drag_handles=False, on_reorder=drop, key=made)


def drag_handle() -> ft.Control:
    """For mouse and finger; keyboard and screen reader use the buttons beside it."""
    grip = ft.Semantics(exclude_semantics=True, content=words("≡", size=Type.LEAD, colour=Role.INK_SOFT))
    square = ft.Container(grip, width=TOUCH_PX, height=TOUCH_PX, alignment=ft.Alignment.CENTER)
    return ft.ReorderableDragHandle(content=square, mouse_cursor=ft.MouseCursor.GRAB)
