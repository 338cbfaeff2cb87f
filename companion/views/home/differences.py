"""What is in two versions: what differs, field by field, both beside each other, and a choice for each."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.held import title_words
from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import group, rule, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.words.saying import msgid, say, several

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.differences import Differences
    from companion.state.app import State
    from companion.words.differing import Differing
    from storage.exchange.merge import Conflict


TITLE = msgid("Differences")
WHY = msgid("Nothing was replaced: yours stays until you decide. Choose for each one.")
HERE = msgid("Here")
KEEP_MINE, KEEP_BOTH = msgid("Keep mine"), msgid("Keep both")
TAKE_OTHER = msgid("Use the other")
STAYS = msgid("What happened is never replaced: yours stays.")
NEWER = {"ours": msgid("Yours is newer"), "theirs": msgid("The other one is newer")}
MOST_LINES = 40
"""Lines of one difference; more are counted. † Our judgement, no source."""


@safe_component
def differences_screen(state: State, do: Differences, go: Go) -> ft.Control:
    there = say("In the backup") if state.backup.in_backup else say("On the other device")
    return page_frame(
        [words(say(WHY)), *(_difference(one, there, do) for one in state.backup.differences)],
        title=say(TITLE),
        on_back=bound(go.settings),
        wide=True,
    )


def _difference(conflict: Conflict, there: str, do: Differences) -> ft.Control:
    lines, ways = do.lines(conflict), do.ways(conflict)
    newer = say(NEWER.get(do.newer(conflict) or "", ""))
    more = len(lines) - MOST_LINES
    name = title_words(conflict)
    named = {"ours": say(KEEP_MINE), "theirs": say(TAKE_OTHER), "both": say(KEEP_BOTH)}
    buttons = [
        quiet_button(
            named[way],
            bound(do.decide, conflict.revision, way),
            name=say("{way}: {name}", way=named[way], name=name),
        )
        for way in ways
    ]
    return group(
        section_title(name, detail=newer or None),
        _row("", say(HERE), there, strong=True),
        *(_line(one) for one in lines[:MOST_LINES]),
        *([words(_more(more), colour=Role.INK_SOFT)] if more > 0 else []),
        *([words(say(STAYS))] if len(ways) == 1 else []),
        button_row(*buttons),
    )


def _more(count: int) -> str:
    return several("And {count} more difference.", "And {count} more differences.", count)


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
