"""The weight of the work that comes, chosen by a tap in a rest or on pause; and what practice takes."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import in_turn, weight_words
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.load_input import load_choice
from companion.views.controls.parts import words
from companion.views.controls.theme import Space
from companion.words.saying import all_said, msgid, own, say
from engine.live.loads import exceeded_g, load_of, offered_g, open_to_choice
from engine.live.state import RunState
from engine.load.proposal import NEW
from engine.movements.movement import Sides
from engine.session.choices import Chosen
from engine.session.segment import BETWEEN, Kind, Segment, ahead

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State


WEAKER_SIDE = msgid("Both sides lift the same: what the weaker one can do.")


def weight_choice(state: State, do: Session) -> list[ft.Control]:
    """The weights to choose from for the work that comes, or on pause for the current one; nothing where none
    is to be chosen."""
    run = state.run.in_progress.state
    work = open_to_choice(run)
    chosen = run.session.chosen(work) if work is not None else None
    if work is None or chosen is None:
        return []
    name = in_turn(own(chosen.name), run.session.turn(work.block, work.place, chosen.movement))
    told_g = exceeded_g(run)
    if told_g is not None:
        name = say(
            "More than the {weight} proposed for today",
            weight=weight_words(told_g, chosen.dumbbells, state.home.unit),
        )
    elif chosen.dumbbells == 2:
        name = say("{movement}, each", movement=name)
    choice = load_choice(
        name,
        load_of(run, work),
        partial(do.set_load, chosen.movement),
        unit=state.home.unit,
        owned_g=state.home.rack.loads_g(chosen.dumbbells),
    )
    return [*_found(state, chosen, do), choice]


def _found(state: State, chosen: Chosen, do: Session) -> list[ft.Control]:
    """After a round, while the load is being found: the next weight by one tap."""
    load_g = offered_g(state.run.in_progress.state)
    if load_g is None:
        return []
    label = say(
        "5 or more repetitions possible: take {weight}",
        weight=weight_words(load_g, chosen.dumbbells, state.home.unit),
    )
    return [quiet_button(label, bound(do.set_load, chosen.movement, load_g), expand=True)]


def both_sides_alike(run: RunState) -> list[ft.Control]:
    """While a weight can be chosen for sides that change: it is that of the weaker one."""
    work = open_to_choice(run)
    chosen = run.session.chosen(work) if work is not None else None
    return [words(say(WEAKER_SIDE))] if chosen is not None and chosen.sides is not Sides.none else []


def before_practice(state: State, current: Segment) -> list[ft.Control]:
    """In a rest before practice, what to practise with and why; nothing elsewhere."""
    run = state.run.in_progress.state
    coming, chosen = ahead(run.segments, run.index), run.leads_to(run.index)
    if current.kind not in BETWEEN or coming is None or coming.kind is not Kind.practice or chosen is None:
        return []
    return practice_words(state, coming, chosen)


def practice_words(state: State, practice: Segment, chosen: Chosen) -> list[ft.Control]:
    """“Practise with 3 kg each.”, with the reason of the load; that of a new movement says it itself."""
    proposal = state.run.proposals.get(chosen.movement)
    if not chosen.dumbbells or proposal is None:
        return []
    weight = weight_words(load_of(state.run.in_progress.state, practice), chosen.dumbbells, state.home.unit)
    told = [say("Practise with {weight}.", weight=weight)] if weight and proposal.step not in NEW else []
    why = all_said(proposal.reason)
    return [ft.Column([words(one) for one in (*told, why)], spacing=Space.XS)]
