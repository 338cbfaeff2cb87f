"""The running session by the clock: what is on and how long it lasts, readable from two metres."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.big_words import big_words
from companion.views.controls.buttons import bound, button_row, primary_button, quiet_button
from companion.views.controls.frame import beside, columns, lies_across, page_frame
from companion.views.controls.parts import words
from companion.views.controls.theme import Role, Space, Type
from companion.views.session.live import live_clock, strip
from companion.views.session.parts import (
    easier_button,
    end_point_words,
    finish_words,
    hurts_button,
    placing_notice,
    refit_notice,
    weight_and_version,
)
from companion.views.session.segment_words import (
    effort_words,
    heading,
    kind_word,
    next_words,
    round_words,
)
from companion.views.session.weight_choice import before_practice, both_sides_alike, weight_choice
from companion.words.saying import own, say
from engine.live.state import RunState
from engine.live.stop_rules import stop_rule_in
from engine.session.segment import BETWEEN, Kind, Segment

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State


CLOCK_AND_WORDS = (2, 3)
"""The shares of a page that lies across, in a rest."""


def clocked(state: State, current: Segment, do: Session) -> ft.Control:
    live = state.run.in_progress
    run = live.state
    load = [*weight_choice(state, do), *before_practice(state, current)]
    clock, controls = live_clock(state, current, do, then=next_words(run)), _controls(current, do)
    hints, stop, hurts = _hints(run, current), _stop_rule(run, current), hurts_button(do)
    refit = refit_notice(live, do)
    pause = primary_button(say("Pause"), bound(do.pause), expand=True, autofocus=True)
    if lies_across(ft.context.page):
        between = current.kind in BETWEEN
        beside_clock = beside([clock], [*load, *stop, *refit, *hints], shares=CLOCK_AND_WORDS)
        shown = [beside_clock] if between else [clock, *refit]
        shown, actions = [*shown, strip(state)], [hurts, *controls, pause]
    else:
        shown = [
            columns(
                [clock, *load, *stop, button_row(*controls, key="controls"), *refit], [*hints, strip(state)]
            )
        ]
        actions = [hurts, pause]
    return page_frame(
        [_heading(state, current, do), *shown],
        title=None,
        top_at=current.id,
        wide=True,
        actions=actions,
    )


def _heading(state: State, current: Segment, do: Session) -> ft.Control:
    """What is on, the movement with its side, what to lift and the version: everything to be told of it."""
    live = state.run.in_progress
    run = live.state
    kind = words(kind_word(run, current), size=Type.TITLE, strong=True, colour=Role.ACCENT)
    name = big_words(heading(run, current), size=Type.FAR)
    said = (round_words(run, current), finish_words(live, do), effort_words(run))
    where = [words(one, size=Type.LEAD, colour=Role.INK_SOFT) for one in said if one]
    told, beside_kind = weight_and_version(run, state.home.unit), list[ft.Control]()
    if told and lies_across(ft.context.page):
        spoken_too = ft.Semantics(live_region=True, container=True, content=told[0])
        told, beside_kind = [], [spoken_too]
    top = ft.Row([kind, *where, *beside_kind], spacing=Space.M, wrap=True)
    phase = ft.Column([name, *told], spacing=Space.XS)
    spoken = ft.Semantics(identifier="phase", live_region=True, container=True, content=phase)
    return ft.Column([top, spoken], spacing=Space.XS)


def _hints(run: RunState, current: Segment) -> list[ft.Control]:
    """How to do the movement that comes, while there is time to read."""
    chosen = run.leads_to(run.index)
    if chosen is None or current.kind not in BETWEEN:
        return []
    lines: list[ft.Control] = [
        words(text, size=Type.LEAD) for text in (*map(own, chosen.cues), end_point_words(chosen.end_point))
    ]
    return [ft.Column(lines, spacing=Space.XS), *placing_notice(chosen), *both_sides_alike(run)]


def _stop_rule(run: RunState, current: Segment) -> list[ft.Control]:
    """One stop rule of the movement that comes, in a rest."""
    rule = stop_rule_in(run, run.index) if current.kind in BETWEEN else None
    return [words(own(rule), size=Type.LEAD, strong=True, colour=Role.CAUTION)] if rule else []


def _controls(current: Segment, do: Session) -> list[ft.Control]:
    """The buttons beside Pause; those of every segment keep their place."""
    controls = [
        quiet_button(say("Skip"), bound(do.skip)),
        quiet_button(say("Previous"), bound(do.back)),
    ]
    if current.kind is Kind.rest:
        controls.append(quiet_button(say("15 s more rest"), bound(do.more_rest)))
    controls.append(quiet_button(say("Form slipped"), bound(do.form_slipped)))
    if current.kind in (Kind.work, Kind.practice):
        controls += easier_button(do.swap, short=True)
    return controls
