"""The coach's desk: the plan in outline, the part that is open, and what it costs in minutes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import flet as ft

from companion.state.desk import ALLOWANCES, HAND_OVER, OWN, THE_PLAN
from companion.views.controls.buttons import bound
from companion.views.controls.frame import column, page_frame
from companion.views.controls.inputs import line_button
from companion.views.controls.parts import group, primary_button, quiet_button, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.undo import undo_notice
from companion.views.desk.block import KIND_WORDS, block_part
from companion.views.desk.fields import Pen
from companion.views.desk.hand_over import hand_over_part
from companion.views.desk.minutes import figures_part
from companion.views.desk.plan import allowances_part, own_part, plan_part
from engine.plan.draft import DraftPlace, at, faults_within
from engine.plan.draft_parts import BLOCK_KINDS, known_movements, movement_list

if TYPE_CHECKING:
    from companion.actions import Actions
    from companion.state.app import State
    from companion.state.desk import Desk


WIDTH_PX = 1240
SAVED = "Saved as you write. Keep it when it is ready: then it is among the plans."
NOTHING_YET = "No block yet. Add one: a session needs work at least."


@safe_component
def desk_screen(state: State, do: Actions) -> ft.Control:
    desk = state.desk
    assert desk is not None
    pen = Pen(desk, do)
    return page_frame(
        [
            *undo_notice(state, do),
            _history(desk, do),
            _three(_outline(pen), _opened(pen, state), figures_part(desk)),
        ],
        title=desk.name,
        on_back=do.leave_desk,
        width=WIDTH_PX,
        actions=[
            quiet_button("Discard", do.clear_desk, tone="danger", tall=True, disabled=not desk.changed),
            _keep(desk, state, do),
        ],
    )


def _three(left: list[ft.Control], middle: list[ft.Control], right: list[ft.Control]) -> ft.Control:
    """Three columns where the page is wide enough, else one below the other."""
    shares = ((left, 3), (middle, 5), (right, 4))
    sized: list[ft.Control] = [column(part, share=share) for part, share in shares]
    return ft.ResponsiveRow(sized, spacing=Space.L, run_spacing=Space.L)


def _history(desk: Desk, do: Actions) -> ft.Control:
    count = len(desk.faults)
    said = f"{count} fault{'s' if count != 1 else ''}" if count else "No faults"
    told = words(said, strong=True, colour=Role.DANGER if count else Role.INK_SOFT)
    return ft.Row(
        [
            quiet_button("Undo", do.take_back, disabled=not desk.history.past),
            quiet_button("Redo", do.write_again, disabled=not desk.history.future),
            ft.Semantics(live_region=True, container=True, content=told),
            *([words(SAVED, colour=Role.INK_SOFT)] if desk.changed else []),
        ],
        spacing=Space.S,
        wrap=True,
    )


def _keep(desk: Desk, state: State, do: Actions) -> ft.Control:
    ready = not desk.faults and (desk.changed or desk.is_new) and not state.read_only
    return primary_button("Keep this plan", do.keep_written, expand=True, disabled=not ready)


def _outline(pen: Pen) -> list[ft.Control]:
    desk, do = pen.desk, pen.do
    known = known_movements(desk.draft)
    blocks = at(desk.draft, ("blocks",)) or []
    parts: list[ft.Control] = [_entry(desk, do, THE_PLAN, "The plan", desk.name)]
    for number, block in enumerate(blocks):
        items = block.get(movement_list(block)) or []
        slugs = [item.get("movement") if isinstance(item, dict) else item for item in items]
        names = ", ".join(known[slug].name if slug in known else str(slug) for slug in slugs)
        title = f"{number + 1}. {KIND_WORDS.get(str(block.get('kind')), '')}"
        parts.append(_entry(desk, do, ("blocks", number), title, names))
    allowed = at(desk.draft, ALLOWANCES)
    own = at(desk.draft, OWN) or []
    parts += [
        _entry(desk, do, ALLOWANCES, "Short of time", "the usual order" if allowed is None else ""),
        _entry(desk, do, OWN, "Movements of its own", str(len(own)) if own else ""),
        _entry(desk, do, HAND_OVER, "Hand over", ""),
    ]
    wrong = pen.wrong("blocks") if blocks else [words(NOTHING_YET, strong=True, colour=Role.DANGER)]
    adding: list[ft.Control] = [
        quiet_button(f"Add {KIND_WORDS[kind].lower()}", bound(do.add_block, kind)) for kind in BLOCK_KINDS
    ]
    return [
        group(section_title("Outline"), ft.Column(parts, spacing=0), *wrong),
        ft.Row(adding, wrap=True, spacing=Space.S, run_spacing=Space.S),
    ]


def _entry(desk: Desk, do: Actions, where: DraftPlace, title: str, about: str) -> ft.Control:
    """A line of the outline: what it holds, and how many faults stand in it."""
    count = len(_faults_of(desk, where))
    texts: list[Any] = [words(title, strong=True)]
    if about:
        texts.append(words(about, size=Type.CAPTION, colour=Role.INK_SOFT))
    if count:
        said = f"{count} fault{'s' if count != 1 else ''}"
        texts.append(words(said, size=Type.CAPTION, strong=True, colour=Role.DANGER))
    line = [ft.Column(texts, spacing=0, tight=True, expand=True)]
    is_open = desk.open == where
    button = line_button(line, bound(do.open_part, where), selected=is_open)
    return ft.Container(button, bgcolor=Role.ACCENT_SOFT if is_open else None)


def _faults_of(desk: Desk, where: DraftPlace) -> tuple[object, ...]:
    """Those of the plan itself are all that stand in no other part; that there is no block stands below."""
    if where == HAND_OVER:
        return ()
    if where != THE_PLAN:
        return faults_within(desk.faults, where)
    return tuple(
        one for one in desk.faults if not one.where.startswith(("blocks", "allowances", "movements"))
    )


def _opened(pen: Pen, state: State) -> list[ft.Control]:
    where = pen.desk.open
    match where:
        case ("blocks", int(number)):
            return block_part(pen, number)
        case _ if where == ALLOWANCES:
            return allowances_part(pen)
        case _ if where == OWN:
            return own_part(pen)
        case _ if where == HAND_OVER:
            return hand_over_part(pen, state)
    return plan_part(pen)
