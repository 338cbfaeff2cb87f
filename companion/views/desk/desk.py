"""The coach's desk: the plan in outline, the part that is open, and what it costs in minutes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import flet as ft

from companion.state.plan_on_desk import ALLOWANCES, HAND_OVER, OWN, THE_PLAN
from companion.views.controls.buttons import bound, button_row, line_button, primary_button, quiet_button
from companion.views.controls.frame import column, page_frame
from companion.views.controls.parts import group, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.undo import undo_notice
from companion.views.desk.allowances import allowances_part
from companion.views.desk.block import block_part, block_title
from companion.views.desk.fields import Fields
from companion.views.desk.hand_over import hand_over_part
from companion.views.desk.minutes import figures_part
from companion.views.desk.own_movements import own_part
from companion.views.desk.plan import plan_part
from companion.words.saying import msgid, own, say, several, words_here
from engine.plan.draft import DraftPlace, value_at
from engine.plan.draft_faults import faults_within
from engine.plan.draft_parts import known_movements, movement_list
from engine.plan.plan import BLOCK_KINDS

if TYPE_CHECKING:
    from companion.actions.desk.desk import Desk
    from companion.actions.go import Go
    from companion.state.app import State
    from companion.state.plan_on_desk import PlanOnDesk


WIDTH_PX = 1240
DRAFT = msgid("Your draft is safe as you write. Save the plan when it is ready.")
NOTHING_YET = msgid("No block yet. Add one: a session needs a block of work at least.")
ADD = {
    "warm_up": msgid("Add warm-up"),
    "practice": msgid("Add practice"),
    "work": msgid("Add work"),
    "cool_down": msgid("Add cool-down"),
}


@safe_component
def desk_screen(state: State, do: Desk, _: Go) -> ft.Control:
    plan = state.desk.open_plan
    fields = Fields(plan, do.edit)
    return page_frame(
        [
            *undo_notice(state, do.undo),
            _history(plan, do),
            _three(_outline(fields, do), _opened(fields, state, do), figures_part(plan)),
        ],
        title=own(plan.name),
        on_back=do.leave,
        width=WIDTH_PX,
        actions=[
            quiet_button(say("Discard"), do.clear, tone="danger", tall=True, disabled=not plan.changed),
            _keep(plan, state, do),
        ],
    )


def _three(left: list[ft.Control], middle: list[ft.Control], right: list[ft.Control]) -> ft.Control:
    """Three columns if the page is wide enough, otherwise one below the other."""
    shares = ((left, 3), (middle, 5), (right, 4))
    sized: list[ft.Control] = [column(part, share=share) for part, share in shares]
    return ft.ResponsiveRow(sized, spacing=Space.L, run_spacing=Space.L)


def _history(plan: PlanOnDesk, do: Desk) -> ft.Control:
    count = _faults_words(len(plan.faults)) if plan.faults else say("No faults")
    faults = words(count, strong=True, colour=Role.DANGER if plan.faults else Role.INK_SOFT)
    return ft.Row(
        [
            quiet_button(say("Undo"), do.edit.take_back, disabled=not plan.history.past),
            quiet_button(say("Redo"), do.edit.write_again, disabled=not plan.history.future),
            ft.Semantics(live_region=True, container=True, content=faults),
            *([words(say(DRAFT), colour=Role.INK_SOFT)] if plan.changed else []),
        ],
        spacing=Space.S,
        wrap=True,
    )


def _keep(plan: PlanOnDesk, state: State, do: Desk) -> ft.Control:
    ready = not plan.faults and (plan.changed or plan.is_new) and not state.read_only
    return primary_button(say("Save this plan"), do.save, expand=True, disabled=not ready)


def _outline(fields: Fields, do: Desk) -> list[ft.Control]:
    plan = fields.plan
    known = known_movements(plan.draft)
    blocks = value_at(plan.draft, ("blocks",)) or []
    parts: list[ft.Control] = [_entry(plan, do, THE_PLAN, say("The plan"), own(plan.name))]
    for number, block in enumerate(blocks):
        items = block.get(movement_list(block)) or []
        slugs = [item.get("movement") if isinstance(item, dict) else item for item in items]
        names = [own(known[slug].name) if slug in known else str(slug) for slug in slugs]
        title, about = (
            block_title(number, str(block.get("kind"))),
            words_here().listed(names) if names else "",
        )
        parts.append(_entry(plan, do, ("blocks", number), title, about))
    allowed = value_at(plan.draft, ALLOWANCES)
    count = len(value_at(plan.draft, OWN) or [])
    parts += [
        _entry(plan, do, ALLOWANCES, say("Short of time"), say("the usual order") if allowed is None else ""),
        _entry(plan, do, OWN, say("Movements of its own"), words_here().argument(count) if count else ""),
        _entry(plan, do, HAND_OVER, say("Hand over"), ""),
    ]
    wrong = fields.wrong("blocks") if blocks else [words(say(NOTHING_YET), strong=True, colour=Role.DANGER)]
    adding = [quiet_button(say(ADD[kind]), bound(do.edit.add_block, kind)) for kind in BLOCK_KINDS]
    return [
        group(section_title(say("Outline")), ft.Column(parts, spacing=0), *wrong),
        button_row(*adding),
    ]


def _entry(plan: PlanOnDesk, do: Desk, where: DraftPlace, title: str, about: str) -> ft.Control:
    """A line of the outline: what the part holds, and how many faults it has."""
    count = len(_faults_of(plan, where))
    texts: list[Any] = [words(title, strong=True)]
    if about:
        texts.append(words(about, size=Type.CAPTION, colour=Role.INK_SOFT))
    if count:
        texts.append(words(_faults_words(count), size=Type.CAPTION, strong=True, colour=Role.DANGER))
    line = [ft.Column(texts, spacing=0, tight=True, expand=True)]
    is_open = plan.open == where
    button = line_button(line, bound(do.open_part, where), selected=is_open)
    return ft.Container(button, bgcolor=Role.ACCENT_SOFT if is_open else None)


def _faults_words(count: int) -> str:
    return several("{count} fault", "{count} faults", count)


def _faults_of(plan: PlanOnDesk, where: DraftPlace) -> tuple[object, ...]:
    """The faults of a part. Those of the plan itself are all that belong to no other part.

    A missing block is told below the outline instead.
    """
    if where == HAND_OVER:
        return ()
    if where != THE_PLAN:
        return faults_within(plan.faults, where)
    others = ("blocks", "allowances", "movements")
    return tuple(one for one in plan.faults if not one.where or one.where[0] not in others)


def _opened(fields: Fields, state: State, do: Desk) -> list[ft.Control]:
    where = fields.plan.open
    match where:
        case ("blocks", int(number)):
            return block_part(fields, number)
        case _ if where == ALLOWANCES:
            return allowances_part(fields)
        case _ if where == OWN:
            return own_part(fields)
        case _ if where == HAND_OVER:
            return hand_over_part(state, do.hand_over)
    return plan_part(fields)
