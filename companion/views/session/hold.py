"""A timed hold: time in good position is banked, so that a hold can be interrupted and resumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import beside, lies_across
from companion.views.controls.parts import words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.session.live import clock_of, lead_in_clock, repaint_with_time
from companion.views.session.parts import easier_button
from companion.words.saying import msgid, say
from engine.base.units import MS_PER_S, format_duration
from engine.live.state import RunState
from engine.live.timing import elapsed_at, held_at, hold_pattern, lead_in_at, left_to_hold_ms
from engine.session.segment import Segment
from engine.session.timed_hold import HoldMoment, wants_easier

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State


@safe_component
def hold_clock(state: State, current: Segment, do: Session) -> ft.Control:
    """The time held so far, and the buttons that start and interrupt the hold."""
    repaint_with_time(state, do)
    live = state.run.live
    if live is None:
        return words("")
    run, item = live.state, live.state.session.item(current)
    assert item is not None
    assert item.amount is not None
    now_ms = do.session_ms()
    shown = say(
        "{held} of {whole} held",
        held=format_duration(held_at(run, now_ms)),
        whole=format_duration(item.amount.low * MS_PER_S),
    )
    label = say("Leave the hold") if run.hold.running else say("Hold")
    buttons = ft.Row(
        [
            primary_button(label, bound(do.hold, not run.hold.running), expand=True),
            quiet_button(say("Form slipped"), bound(do.form_slipped), tall=True, expand=True),
        ]
    )
    above, below = _hold_phase(run, now_ms, shown), [buttons, *_easier_hold(run, item.amount.low, now_ms, do)]
    if lies_across(ft.context.page):
        return beside(above, below)
    return ft.Column([*above, *below], spacing=Space.S)


_PHASE_WORDS = {
    None: msgid("Get into position"),
    HoldMoment.hold: msgid("Hold"),
    HoldMoment.off: msgid("Rest"),
    HoldMoment.held: msgid("Held"),
}


def _hold_phase(run: RunState, now_ms: int, shown: str) -> list[ft.Control]:
    """What to do now, large and without a tap: nobody can tap while they hold."""
    banked = words(shown, size=Type.TITLE, strong=True)
    left_ms = left_to_hold_ms(run)
    if not run.hold.running or left_ms is None:
        return [banked]
    if lead_in_ms := lead_in_at(run, now_ms):
        return [banked, lead_in_clock(run, lead_in_ms)]
    moment, lasts_ms = hold_pattern(run).phase(max(0, now_ms - run.anchor.since_ms), left_ms)
    phase = words(say(_PHASE_WORDS[moment]), size=Type.TITLE, strong=True, colour=Role.ACCENT)
    apart = ft.MainAxisAlignment.SPACE_BETWEEN
    return [ft.Row([phase, banked], alignment=apart, wrap=True), clock_of(lasts_ms)]


def _easier_hold(run: RunState, amount_s: int, now_ms: int, do: Session) -> list[ft.Control]:
    """Offers an easier version once the hold falls to pieces."""
    if not wants_easier(amount_s * MS_PER_S, run.hold.broken_ms, elapsed_at(run, now_ms)):
        return []
    return [ft.Row([button]) for button in easier_button(do.swap)]
