"""The working load, found while practising and carried to the log."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import weight_words
from companion.views.controls.load_stepper import load_input
from companion.views.controls.parts import section_title, words
from engine.live.loads import working_load as working_load_of
from engine.movements.movement import Sides
from engine.session.choices import Chosen
from engine.session.segment import BETWEEN, Kind, Segment, ahead

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State


WEAKER_SIDE = "Both sides lift the same: what the weaker one can do."


def working_load(
    state: State, chosen: Chosen | None, do: Session, *, before: Sequence[Chosen] = ()
) -> list[ft.Control]:
    """The load of a movement, after those of what was practised ``before``."""
    found = [_load_input(state, one, do) for one in before if one.dumbbells]
    if chosen is None or not chosen.dumbbells:
        return [section_title("Working load"), *found] if found else []
    proposal = state.run.proposals.get(chosen.movement)
    first_g = proposal.practice_g if proposal else None
    first = "" if first_g is None else f"begin with {weight_words(first_g, 1, state.home.unit)}"
    return [
        section_title("Working load", detail=first),
        *found,
        _load_input(state, chosen, do),
        *([words(WEAKER_SIDE)] if chosen.sides is not Sides.none else []),
        *([words(proposal.reason)] if proposal else []),
    ]


def _load_input(state: State, chosen: Chosen, do: Session) -> ft.Control:
    each = ", each" if chosen.dumbbells == 2 else ""
    load_g = working_load_of(state.run.in_progress.state, chosen.movement)
    change = partial(do.set_load, chosen.movement)
    return load_input(f"{chosen.name}{each}", load_g, change, unit=state.home.unit)


def between_practices(state: State, current: Segment, do: Session) -> list[ft.Control]:
    """Between two practices, the loads of what was just practised and of what comes; nothing elsewhere."""
    run = state.run.in_progress.state
    if current.kind not in BETWEEN:
        return []
    coming = ahead(run.segments, run.index)
    just, following = (
        run.session.chosen(segment) if segment is not None and segment.kind is Kind.practice else None
        for segment in (run.in_hand, coming)
    )
    before = [just] if just is not None and just != following else []
    return working_load(state, following, do, before=before)
