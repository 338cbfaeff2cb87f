"""What is in two versions: what differs, field by field, both beside each other, and a choice for each."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from engine.base.phrases import number_of, upper_first

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.differences import Differences
    from companion.state.app import State
    from storage.exchange.differences import Differing
    from storage.exchange.merge import Conflict


TITLE = "In two versions"
WHY = "Nothing was replaced: yours stays until you decide. Choose for each one."
HERE = "Here"
KEEP_MINE, KEEP_BOTH = "Keep mine", "Keep both"
TAKE_OTHER = "Take the other"
STAYS = "What happened is never replaced: yours stays."
NEWER = {"ours": "Yours was said later.", "theirs": "The other one was said later."}
MOST_LINES = 40
"""Lines of one difference; more are counted. † Our judgement, no source."""


@safe_component
def differences_screen(state: State, do: Differences, go: Go) -> ft.Control:
    there = "In the backup" if state.backup.in_backup else "There"
    return page_frame(
        [words(WHY), *(_difference(one, there, do) for one in state.backup.differences)],
        title=TITLE,
        on_back=bound(go.settings),
        wide=True,
    )


def _difference(conflict: Conflict, there: str, do: Differences) -> ft.Control:
    lines, ways = do.lines(conflict), do.ways(conflict)
    newer = NEWER.get(do.newer(conflict) or "")
    more = len(lines) - MOST_LINES
    name = upper_first(conflict.named)
    named = {"ours": KEEP_MINE, "theirs": TAKE_OTHER, "both": KEEP_BOTH}
    buttons = [
        quiet_button(named[way], bound(do.decide, conflict.revision, way), name=f"{named[way]}: {name}")
        for way in ways
    ]
    return group(
        section_title(name, detail=newer),
        _row("", HERE, there, strong=True),
        *(_line(one) for one in lines[:MOST_LINES]),
        *([words(f"And {number_of(more, 'more difference')}.", colour=Role.INK_SOFT)] if more > 0 else []),
        *([words(STAYS)] if len(ways) == 1 else []),
        button_row(*buttons),
    )


def _line(one: Differing) -> ft.Control:
    lines = [rule(), _row(one.what, one.here, one.there)]
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column(lines, spacing=Space.XS, tight=True, horizontal_alignment=stretch)


def _row(what: str, here: str, there: str, *, strong: bool = False) -> ft.Control:
    """What it is, over what each version says of it."""
    both = ft.Row(
        [ft.Container(words(one, strong=strong), expand=1) for one in (here, there)],
        vertical_alignment=ft.CrossAxisAlignment.START,
        spacing=Space.M,
    )
    over = [words(what, size=Type.CAPTION, colour=Role.INK_SOFT)] if what else []
    return ft.Column([*over, both], spacing=0, tight=True)
