"""The loads: those proposed for the next session, with their reasons, and the last ones lifted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.style.proposals import free_line, load_line
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.words.saying import all_said, msgid, own, said, say, several
from engine.base.message import Message, Seconds
from engine.base.units import MS_PER_S, LoadUnit
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal
from engine.movements.terms import kit_term

if TYPE_CHECKING:
    from companion.actions.home.kit import Kit
    from companion.state.app import State
    from storage.models import LastLoad


NO_LOADS = msgid("None yet. The weights that you lift are listed here after your first session.")
NO_LOADED = msgid("No movement of this session takes a weight with the dumbbells chosen.")


def loads_part(state: State, do: Kit) -> list[ft.Control]:
    coming = [_proposal(one, state.home.unit) for one in do.loads_to_come()]
    free = [_free(one) for one in do.free_to_come()]
    last = [words(_last_words(one, state, do)) for one in _latest(state.home.last_loads)]
    return [
        group(
            section_title(say("Next time"), detail=own(state.plans.chosen.name)),
            *(coming or [words(say(NO_LOADED), colour=Role.INK_SOFT)]),
        ),
        *([group(section_title(say("Without a weight")), *free)] if free else []),
        group(section_title(say("Last weights")), *(last or [words(say(NO_LOADS), colour=Role.INK_SOFT)])),
    ]


def _proposal(one: LoadProposal, unit: LoadUnit) -> ft.Control:
    return ft.Column(
        [
            words(load_line(one, unit), size=Type.LEAD, strong=True),
            words(all_said(one.reason)),
            words(_reserve(one.reserve)),
            words(all_said(one.source), size=Type.CAPTION, colour=Role.INK_SOFT),
            *_for_your_coach(one.question),
        ],
        spacing=Space.XS,
    )


def _free(one: FreeProposal) -> ft.Control:
    lines = [
        words(free_line(one), size=Type.LEAD, strong=True),
        words(all_said(one.reason)),
        words(_reserve(one.reserve)),
    ]
    return ft.Column([*lines, *_for_your_coach(one.question)], spacing=Space.XS)


def _for_your_coach(question: Message | None) -> list[ft.Control]:
    return [notice("note", said(question), title=say("For your coach"))] if question else []


def _reserve(left: int) -> str:
    return several(
        "Stop each set while {count} more repetition is still possible.",
        "Stop each set while {count} more repetitions are still possible.",
        left,
    )


def _latest(loads: Sequence[LastLoad]) -> list[LastLoad]:
    """The last load of each movement, in the order of their slugs."""
    by_movement: dict[str, LastLoad] = {}
    for load in sorted(loads, key=lambda one: (one.started_at, one.record_id)):
        by_movement[load.movement] = load
    return sorted(by_movement.values(), key=lambda one: one.movement)


def _last_words(one: LastLoad, state: State, do: Kit) -> str:
    """“Bent-over row: 8 kg, one dumbbell, 30 s a set, Tuesday 3 March.”"""
    known = state.plans.chosen.known_movements().get(one.movement)
    return say(
        "{movement}: {load}, {kit}, {length} a set, {day}.",
        movement=own(known.name) if known else one.movement,
        load=do.load_words(one.load_g),
        kit=kit_term(one.kit),
        length=Seconds(seconds=one.interval_ms / MS_PER_S),
        day=one.started_at.date(),
    )
