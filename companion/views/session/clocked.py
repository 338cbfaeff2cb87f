"""The running session by the clock: what is on and how long it lasts, readable from two metres."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.kinds import KIND_WORD
from companion.views.controls.big_words import big_words
from companion.views.controls.buttons import bound, button_row, primary_button, quiet_button
from companion.views.controls.frame import beside, columns, lies_across, page_frame
from companion.views.controls.parts import words
from companion.views.controls.theme import Role, Space, Type
from companion.views.session.live import live_clock, strip
from companion.views.session.parts import (
    easier_button,
    finish_words,
    hurts_button,
    placing_notice,
    refit_notice,
)
from companion.views.session.segment_words import heading, next_words, round_words
from companion.views.session.working_load import between_practices
from engine.session.choices import Chosen
from engine.session.segment import BETWEEN, Kind, Segment

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State
    from companion.state.live import Live


def clocked(state: State, current: Segment, do: Session) -> ft.Control:
    live = state.run.in_progress
    run = live.state
    load = between_practices(state, current, do)
    clock, controls = live_clock(state, current, do, then=next_words(run)), _controls(current, do)
    hints, refit, hurts = (
        _hints(current, run.leads_to(run.index)),
        refit_notice(live, do, state.home.unit),
        hurts_button(do),
    )
    pause = primary_button("Pause", bound(do.pause), expand=True, autofocus=True)
    if lies_across(ft.context.page):
        between = current.kind in BETWEEN
        shown = [beside([clock], [*refit, *load, *hints])] if between else [clock, *refit]
        shown, actions = [*shown, strip(state)], [hurts, *controls, pause]
    else:
        shown = [columns([clock, button_row(*controls), *refit, *load], [*hints, strip(state)])]
        actions = [hurts, pause]
    return page_frame(
        [_heading(live, current, do), *shown],
        title=None,
        top_at=current.id,
        wide=True,
        actions=actions,
    )


def _heading(live: Live, current: Segment, do: Session) -> ft.Control:
    run = live.state
    kind = words(KIND_WORD[current.kind], size=Type.TITLE, strong=True, colour=Role.ACCENT)
    name = big_words(heading(run, current), size=Type.FAR)
    said = (round_words(run, current), finish_words(live, do))
    where = [words(one, size=Type.LEAD, colour=Role.INK_SOFT) for one in said if one]
    top = ft.Row([kind, *where], spacing=Space.M, wrap=True)
    spoken = ft.Semantics(identifier="phase", live_region=True, container=True, content=name)
    return ft.Column([top, spoken], spacing=Space.XS)


def _hints(current: Segment, chosen: Chosen | None) -> list[ft.Control]:
    """How to do the movement that comes, while there is time to read."""
    if chosen is None or current.kind not in (Kind.rest, Kind.get_ready):
        return []
    lines: list[ft.Control] = [words(text, size=Type.LEAD) for text in (*chosen.cues, chosen.end_point)]
    return [ft.Column(lines, spacing=Space.XS), *placing_notice(chosen)]


def _controls(current: Segment, do: Session) -> list[ft.Control]:
    """The buttons beside Pause; those of every segment keep their place."""
    controls = [quiet_button("Skip", bound(do.skip)), quiet_button("Back", bound(do.back))]
    if current.kind is Kind.rest:
        controls.append(quiet_button("15 s more rest", bound(do.more_rest)))
    controls.append(quiet_button("Position lost", bound(do.position_lost)))
    if current.kind in (Kind.work, Kind.practice):
        controls += easier_button(do.swap, short=True)
    return controls
