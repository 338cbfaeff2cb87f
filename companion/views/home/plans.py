"""Plans: which one is next, how others come in, and what one asks before it is saved."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.state.required import required
from companion.views.controls.buttons import bound, button_row, primary_button, quiet_button
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.undo import undo_notice
from companion.words.faults import place_words
from companion.words.saying import all_said, msgid, own, said, say, several, words_here
from engine.base.issue import Issue
from engine.plan.adjustment import describe
from engine.plan.plan import SessionPlan, movements_named_in
from engine.plan.sentences import (
    block_title,
    cut_sentences,
    own_choice_sentences,
    side_change_sentence,
)

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.plans import Plans
    from companion.state.app import State


TITLE = msgid("Plans")
DESK = msgid("Coach’s desk")
ASKED_BY_COACH = msgid("From your coach")
FROM_ELSEWHERE = msgid("More plans")
TAKE_IN = msgid("Open a file")
READ = msgid("Pages received")
WRITE = msgid("Write a new plan")
SAMPLES_BACK = msgid("Bring back the sample plans")
OPEN_LINK = msgid("If your coach sends a link, just open it: the plan is shown here.")
CHOSEN = msgid("chosen for the next session")
REPLACES = msgid("You have another plan of this name. This one takes its place.")
NOT_KEPT = msgid("This plan is not saved yet. Read what it asks, then decide.")


@safe_component
def plans_screen(state: State, do: Plans, go: Go) -> ft.Control:
    missing = do.samples_missing()
    back = [quiet_button(say(SAMPLES_BACK), bound(do.bring_samples_back))] if missing else []
    return page_frame(
        [
            *undo_notice(state, do.undo),
            *(_faults(state) if state.plans.faults else []),
            *_unfinished(state, go),
            columns(
                [*(_line(plan, state, do) for plan in state.plans.all)],
                [
                    group(section_title(say(DESK)), button_row(*_desk_buttons(go))),
                    group(
                        section_title(say(FROM_ELSEWHERE)),
                        button_row(quiet_button(say(TAKE_IN), bound(do.open_file)), *back),
                        words(say(OPEN_LINK), colour=Role.INK_SOFT),
                    ),
                    *_asked_by_coach(state, do),
                ],
            ),
        ],
        title=say(TITLE),
        on_back=bound(go.setup),
        top_at=state.plans.faulty,
        wide=True,
    )


def _desk_buttons(go: Go) -> list[ft.Control]:
    return [quiet_button(say(WRITE), bound(go.write_plan)), quiet_button(say(READ), go.pages)]


def _asked_by_coach(state: State, do: Plans) -> list[ft.Control]:
    """What coaches asked and the person took, each with a way to remove it."""
    known = state.plans.chosen.known_movements()
    lines: list[ft.Control] = []
    for asked in state.plans.adjustments:
        whose, *changes = describe(asked, known)
        name = say("Remove what {author} asked", author=asked.author)
        remove = quiet_button(say("Remove"), bound(do.remove_adjustment, asked), tone="danger", name=name)
        lines += [words(said(whose), strong=True), words(all_said(changes)), ft.Row([remove])]
    return section(say(ASKED_BY_COACH), lines)


def _unfinished(state: State, go: Go) -> list[ft.Control]:
    """The plans that are being written."""
    buttons = [
        quiet_button(say("Go on writing {plan}", plan=desk.name), bound(go.go_on_writing, desk))
        for desk in state.desk.unfinished.values()
    ]
    return [button_row(*buttons)] if buttons else []


def _faults(state: State) -> list[ft.Control]:
    """Every fault with its place in the document, counted from 1."""
    text = several(
        "{what} cannot be saved: {count} fault. Your plans stay as they were.",
        "{what} cannot be saved: {count} faults. Your plans stay as they were.",
        len(state.plans.faults),
        what=state.plans.faulty,
    )
    lines: list[ft.Control] = [_fault(one) for one in state.plans.faults]
    return [notice("caution", text, announce=True), group(section_title(say("What is wrong")), *lines)]


def _fault(one: Issue) -> ft.Control:
    where = [words(place_words(one.where), strong=True)] if one.where else []
    return ft.Column([*where, words(said(one.what))], spacing=0, tight=True)


def _line(plan: SessionPlan, state: State, do: Plans) -> ft.Control:
    """A plan's name and author, and the buttons to look at it and to choose it."""
    chosen = plan.id == state.plans.chosen.id
    by = [words(say("by {author}", author=plan.author), colour=Role.INK_SOFT)] if plan.author else []
    look = quiet_button(
        say("What it asks"), bound(do.look_at, plan), name=say("What {plan} asks", plan=own(plan.name))
    )
    choose = quiet_button(
        say("Choose"), bound(do.take, plan.id), name=say("Choose {plan}", plan=own(plan.name))
    )
    take = [] if chosen else [choose]
    return ft.Column(
        [
            section_title(own(plan.name), detail=say(CHOSEN) if chosen else None),
            *by,
            button_row(look, *take),
        ],
        spacing=Space.S,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


@safe_component
def plan_screen(state: State, do: Plans, go: Go) -> ft.Control:
    """One plan: who wrote it and what it asks, then the button to save it or to use it."""
    plan = required(state.plans.shown, "No plan is shown.")
    is_saved = plan in state.plans.all
    return page_frame(
        [
            *([] if is_saved else _not_saved(plan, state)),
            *([words(say("by {author}", author=plan.author), size=Type.LEAD)] if plan.author else []),
            *([words(own(plan.note))] if plan.note else []),
            *_blocks(plan),
            group(
                section_title(say("Short of time")),
                words(all_said(cut_sentences(plan))),
                words(said(side_change_sentence(plan))),
            ),
            *_stop_rules(plan),
            *([_saved_buttons(plan, do, go)] if is_saved else []),
        ],
        title=own(plan.name),
        on_back=bound(go.plans),
        actions=[_main_button(plan, state, do, is_saved=is_saved)],
    )


def _not_saved(plan: SessionPlan, state: State) -> list[ft.Control]:
    known = any(one.id == plan.id for one in state.plans.all)
    return [notice("note", say(REPLACES) if known else say(NOT_KEPT))]


def _main_button(plan: SessionPlan, state: State, do: Plans, *, is_saved: bool) -> ft.Control:
    if is_saved:
        return primary_button(say("Use this plan"), bound(do.take, plan.id), expand=True)
    may_save = not state.read_only
    return primary_button(say("Save this plan"), bound(do.save, plan), expand=True, disabled=not may_save)


def _blocks(plan: SessionPlan) -> list[ft.Control]:
    known = plan.known_movements()
    return [
        group(
            section_title(said(block_title(block))),
            words(words_here().listed(own(known[slug].name) for slug in movements_named_in(block))),
            *(words(said(one), colour=Role.INK_SOFT) for one in own_choice_sentences(block, known)),
        )
        for block in plan.blocks
    ]


def _stop_rules(plan: SessionPlan) -> list[ft.Control]:
    return section(say("Stop when"), [words(own(rule)) for rule in plan.stop_rules])


def _saved_buttons(plan: SessionPlan, do: Plans, go: Go) -> ft.Control:
    return button_row(
        quiet_button(say("Change this plan"), bound(go.write_plan, plan)),
        quiet_button(say("Save as a file"), bound(do.export, plan)),
        quiet_button(say("Remove this plan"), bound(do.remove, plan), tone="danger"),
    )
