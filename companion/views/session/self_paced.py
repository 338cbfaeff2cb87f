"""The running session without a clock: the current item large, and the checklist of its round."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import amount_words, item_words
from companion.views.controls.big_words import big_words
from companion.views.controls.buttons import bound, button_row, ignoring_value, primary_button, quiet_button
from companion.views.controls.frame import beside, lies_across, page_frame
from companion.views.controls.parts import section_title, words
from companion.views.controls.theme import MAX_PAGE_WIDTH, Space, Type
from companion.views.controls.tick import tick_row
from companion.views.session.hold import hold_clock
from companion.views.session.parts import (
    easier_button,
    finish_words,
    hurts_button,
    missing_buttons,
    placing_notice,
    refit_notice,
    reset_notice,
    weight_and_version,
)
from companion.views.session.segment_words import kind_and_round, title
from companion.views.session.weight_choice import practice_words
from companion.words.saying import own, say
from engine.live.state import RunState
from engine.plan.plan import AmountUnit
from engine.session.choices import Chosen
from engine.session.segment import Kind, Segment

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State


def self_paced(state: State, current: Segment, do: Session) -> ft.Control:
    run = state.run.in_progress.state
    item = run.session.item(current)
    assert item is not None
    is_hold = item.amount is not None and item.amount.unit is AmountUnit.seconds
    hold = [hold_clock(state, current, do)] if is_hold else []
    told = ft.Column(
        [
            *([words(amount_words(item.amount), size=Type.TITLE)] if item.amount else []),
            *weight_and_version(run, state.home.unit),
        ],
        spacing=Space.XS,
    )
    hints, rest = _hints(state, current, item.chosen), _rest(state, current, do, is_hold=is_hold)
    across = lies_across(ft.context.page)
    return page_frame(
        [
            *refit_notice(state.run.in_progress, do),
            big_words(title(run, current), size=Type.FAR if across else Type.DIGITS),
            *([*hold, beside([told], hints), *rest] if across else [told, *hold, *hints, *rest]),
        ],
        title=None,
        top_at=current.id,
        width=MAX_PAGE_WIDTH if across else None,
        actions=[hurts_button(do), primary_button(say("Done"), bound(do.tick), expand=True, autofocus=True)],
    )


def _hints(state: State, current: Segment, chosen: Chosen) -> list[ft.Control]:
    """How to do the item, and why practice takes its weight."""
    return [
        *reset_notice(state.run.in_progress.state),
        ft.Column([words(own(text), size=Type.LEAD) for text in chosen.cues], spacing=Space.XS),
        *placing_notice(chosen),
        *(practice_words(state, current, chosen) if current.kind is Kind.practice else []),
    ]


def _rest(state: State, current: Segment, do: Session, *, is_hold: bool) -> list[ft.Control]:
    """The round at a glance, and the buttons; a hold has its own button for a lost position."""
    live = state.run.in_progress
    return [
        section_title(kind_and_round(live.state, current), detail=finish_words(live, do)),
        _checklist(live.state, current, do),
        button_row(
            quiet_button(say("Pause"), bound(do.pause)),
            quiet_button(say("Skip"), bound(do.skip)),
            quiet_button(say("Previous"), bound(do.back)),
            *([] if is_hold else [quiet_button(say("Form slipped"), bound(do.form_slipped))]),
            *easier_button(do.swap, short=True),
            *missing_buttons(do.swap),
            key="controls",
        ),
    ]


def _checklist(run: RunState, current: Segment, do: Session) -> ft.Control:
    """The items of the round in order. Only the current one can be ticked; “Previous” takes a tick away."""
    here = (current.block, current.round, current.kind)
    rows: list[ft.Control] = [
        tick_row(
            title(run, segment),
            index < run.index,
            ignoring_value(do.tick if index == run.index else _nothing),
            amount=item_words(run.session.item(segment)),
        )
        for index, segment in enumerate(run.segments)
        if (segment.block, segment.round, segment.kind) == here
    ]
    return ft.Column(rows, spacing=0)


def _nothing() -> None:
    """A tap on any other item changes nothing."""
