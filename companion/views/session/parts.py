"""Buttons and notices that the running screen shows in several of its forms."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import clock_time
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.frame import lies_across
from companion.views.controls.parts import notice, section, words
from companion.views.controls.theme import Space, Type
from companion.views.session.segment_words import weight_now
from companion.words.saying import all_said, msgid, own, said, say
from engine.base.units import LoadUnit
from engine.live.loads import open_to_choice, version_of
from engine.live.state import RunState
from engine.live.stop_rules import stop_rules_beside
from engine.movements.limits import ENDS_SOONER, planned_end_point
from engine.movements.pain import Advice
from engine.movements.terms import equipment_term
from engine.session.choices import Chosen
from engine.session.segment import ahead

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.actions.session.swap import Swap
    from companion.state.live import Live


RESET = msgid("Form slipped. Breathe out, set up again, and move less far or take less weight.")


def hurts_button(do: Session) -> ft.Control:
    return quiet_button(
        say("Something hurts"), bound(do.something_hurts), tone="caution", tall=True, expand=True
    )


def easier_button(do: Swap, *, short: bool = False) -> list[ft.Control]:
    """Changes to the easier version at once, where there is one; ``short`` shows no name of it."""
    easier = do.easier()
    if easier is None or not easier.items:
        return []
    name = say("Easier version: {movement}", movement=own(easier.items[0].item.chosen.name))
    return [
        quiet_button(
            say("Easier version") if short else name, bound(do.take_easier), name=name, expand=not short
        )
    ]


def missing_buttons(do: Swap) -> list[ft.Control]:
    """Each says that one thing the movement needs is not here: a wall, a free floor and the like."""
    return [
        quiet_button(say("Not here: {equipment}", equipment=equipment_term(one)), bound(do.do_without, one))
        for one in do.needed()
    ]


def finish_words(live: Live, do: Session) -> str:
    """“done by 18:30”; empty once no finish is promised."""
    return "" if live.state.finish_released else say("done by {clock}", clock=clock_time(do.done_by()))


def refit_notice(live: Live, do: Session) -> list[ft.Control]:
    """What the last re-fit changed, while it is new, with a button to take it back; or a cut on offer."""
    new = live.said and live.state.index <= live.said_at + 1
    told = all_said((*live.said, *live.entered))
    shown = [notice("note", told, announce=True)] if new else []
    undone_at = do.finish_with_everything() if new and live.state.before_refit else None
    if undone_at is not None:
        undo = say("Undo this cut, finish at {clock}", clock=clock_time(undone_at))
        shown.append(ft.Row([quiet_button(undo, bound(do.keep_everything), expand=True)]))
    offered = live.offered
    if offered is not None and live.state.index <= offered.at + 1:
        finish = say("Finish at {clock}", clock=clock_time(do.finish_if_cut(offered)))
        cut = "\n".join((*map(said, offered.cut), finish))
        shown.append(ft.Row([quiet_button(cut, bound(do.take_cut), expand=True)]))
    return shown


def weight_and_version(run: RunState, unit: LoadUnit) -> list[ft.Control]:
    """“6 kg”, and in which version: what a person has to know before they begin."""
    coming = ahead(run.segments, run.index)
    weight, version = weight_now(run, unit), version_of(run, coming) if coming else ""
    if open_to_choice(run) is not None:
        return _steady(weight, version, run.leads_to(run.index))
    shown: list[ft.Control] = [words(weight, size=Type.TITLE, strong=True)] if weight else []
    shown += [words(own(version), size=Type.LEAD)] if version else []
    return [ft.Row(shown, spacing=Space.M, wrap=True)] if shown else []


def _steady(weight: str, version: str, chosen: Chosen | None) -> list[ft.Control]:
    """Weight and version, upright on lines of their own, which stay where nothing is said of them: nothing
    moves under the finger while a weight is chosen."""
    lines: list[ft.Control] = [words(weight or " ", size=Type.TITLE, strong=True)]
    if chosen is not None and chosen.version:
        named = words(own(chosen.version), size=Type.LEAD)
        unsaid = ft.Semantics(exclude_semantics=True, content=ft.Container(content=named, opacity=0))
        lines.append(named if version else unsaid)
    if lies_across(ft.context.page):
        return [ft.Row(lines, spacing=Space.M, wrap=True)]
    return [ft.Column(lines, spacing=0)]


def stop_rules_list(run: RunState, said: Advice | None = None) -> list[ft.Control]:
    """Every stop rule of the movement in hand and of the plan, beside what the rules about pain ``said``."""
    chosen = run.leads_to(run.index)
    rules = [words(own(rule)) for rule in stop_rules_beside(run, run.index, said)]
    return section(say("When to stop"), rules, detail=own(chosen.name) if chosen else None)


def reset_notice(run: RunState) -> list[ft.Control]:
    """After a lost position: breathe, set up again, less range."""
    last = run.lost[-1] if run.lost else None
    if run.in_hand is None or last is None or run.hold.running:
        return []
    just_now = last.segment_id == run.in_hand.id and last.session_ms >= run.anchor.entered_ms
    return [notice("note", say(RESET), announce=True)] if just_now else []


def end_point_words(end_point: str) -> str:
    """How far to go, with what a limit of today adds to it."""
    planned = planned_end_point(end_point)
    return own(planned) if planned == end_point else f"{own(planned)} {own(ENDS_SOONER)}"


def placing_notice(chosen: Chosen) -> list[ft.Control]:
    """How the weight is placed safely."""
    return [notice("note", own(chosen.placing))] if chosen.placing else []
