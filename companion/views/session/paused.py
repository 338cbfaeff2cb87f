"""The paused session: what happened, and every way to go on or to end."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import page_frame, whose_session
from companion.views.controls.parts import notice, section_title, words
from companion.views.controls.theme import Type
from companion.views.session.parts import (
    easier_button,
    hurts_button,
    missing_buttons,
    reset_notice,
    stop_rules_list,
    weight_and_version,
)
from companion.views.session.segment_words import away_words, heading
from companion.views.session.weight_choice import both_sides_alike, weight_choice
from companion.words.saying import said, say
from engine.base.units import format_duration
from engine.live.lead_in import paused_long
from engine.live.spoken import LIGHT_FIRST
from engine.live.state import RunState
from engine.live.timing import remaining_session_at

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.session import Session
    from companion.state.app import State


def paused(state: State, do: Session, go: Go) -> ft.Control:
    live = state.run.in_progress
    run = live.state
    left = format_duration(remaining_session_at(run, run.at_ms))
    return page_frame(
        [
            *([notice("note", away_words(live.gap_ms))] if live.gap_ms else []),
            *whose_session(state, go.to_somebody_else),
            *([words(heading(run, run.current), size=Type.TITLE, strong=True)] if run.current else []),
            *weight_and_version(run, state.home.unit),
            *weight_choice(state, do),
            *both_sides_alike(run),
            words(say("{length} to go", length=left)),
            *_light_first(paused_long(run, do.session_ms())),
            *reset_notice(run),
            *stop_rules_list(run),
            section_title(say("Or")),
            *(ft.Row([button]) for button in _other_buttons(run, do)),
        ],
        title=say("Paused"),
        top_at="paused",
        actions=[
            hurts_button(do),
            primary_button(say("Go on"), bound(do.resume), expand=True, autofocus=True),
        ],
    )


def _other_buttons(run: RunState, do: Session) -> list[ft.Control]:
    return [
        *easier_button(do.swap),
        *missing_buttons(do.swap),
        quiet_button(say("Restart this interval"), _resumed(do, do.redo), expand=True),
        quiet_button(say("Previous interval"), _resumed(do, do.back), expand=True),
        quiet_button(say("Skip this"), _resumed(do, do.skip), expand=True),
        *_other_side_button(run, do),
        quiet_button(say("End here and log"), bound(do.end_early), tone="danger", expand=True),
    ]


def _resumed(do: Session, then: Callable[[], Awaitable[None]]) -> Callable[[], Awaitable[None]]:
    async def resume() -> None:
        await do.resume()
        await then()

    return resume


def _other_side_button(run: RunState, do: Session) -> list[ft.Control]:
    """Somebody who ends between the sides is offered the other one first."""
    if run.current is None or run.interval.stop == run.index + 1:
        return []
    return [quiet_button(say("The other side too, then end"), bound(do.end_with_both_sides), expand=True)]


def _light_first(is_long: bool) -> list[ft.Control]:
    """What comes first after a long pause."""
    return [notice("note", said(LIGHT_FIRST), announce=True)] if is_long else []
