"""The loads: those proposed for the next session, with their reasons, and the last ones lifted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.style.proposals import free_line, load_line
from companion.style.words import day_words
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.theme import Role, Space, Type
from companion.words.words import Words
from engine.base.message import Message
from engine.base.units import LoadUnit, format_duration
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal
from engine.movements.words import KIT_WORDS

if TYPE_CHECKING:
    from companion.actions.home.kit import Kit
    from companion.state.app import State
    from storage.models import LastLoad


NO_LOADS = "Nothing lifted yet. What you lift is listed here after your first session."
NO_LOADED = "Nothing in this session is lifted with the dumbbells chosen."


def loads_part(state: State, do: Kit) -> list[ft.Control]:
    coming = [_proposal(one, state.home.unit) for one in do.loads_to_come()]
    free = [_free(one, state.home.unit) for one in do.free_to_come()]
    last = [words(_last_words(one, state, do)) for one in _latest(state.home.last_loads)]
    return [
        group(
            section_title("Next time", detail=state.plans.chosen.name),
            *(coming or [words(NO_LOADED, colour=Role.INK_SOFT)]),
        ),
        *([group(section_title("Without a weight"), *free)] if free else []),
        group(section_title("Last loads"), *(last or [words(NO_LOADS, colour=Role.INK_SOFT)])),
    ]


def _proposal(one: LoadProposal, unit: LoadUnit) -> ft.Control:
    say = Words(unit)
    return ft.Column(
        [
            words(load_line(one, unit), size=Type.LEAD, strong=True),
            words(say.sentences(one.reason)),
            words(_reserve(one.reserve)),
            words(say.sentences(one.source), size=Type.CAPTION, colour=Role.INK_SOFT),
            *_for_your_coach(one.question, say),
        ],
        spacing=Space.XS,
    )


def _free(one: FreeProposal, unit: LoadUnit) -> ft.Control:
    say = Words(unit)
    said = [
        words(free_line(one), size=Type.LEAD, strong=True),
        words(say.sentences(one.reason)),
        words(_reserve(one.reserve)),
    ]
    return ft.Column([*said, *_for_your_coach(one.question, say)], spacing=Space.XS)


def _for_your_coach(question: Message | None, say: Words) -> list[ft.Control]:
    return [notice("note", say.say(question), title="For your coach")] if question else []


def _reserve(left: int) -> str:
    return f"Stop each set while {left} or more repetitions are left."


def _latest(loads: Sequence[LastLoad]) -> list[LastLoad]:
    """The last load of each movement, in the order of their slugs."""
    by_movement: dict[str, LastLoad] = {}
    for load in sorted(loads, key=lambda one: (one.started_at, one.record_id)):
        by_movement[load.movement] = load
    return sorted(by_movement.values(), key=lambda one: one.movement)


def _last_words(one: LastLoad, state: State, do: Kit) -> str:
    """“Bent-over row: 8 kg, one dumbbell, 0:30 a set, Tuesday 3 March.”"""
    known = state.plans.chosen.known_movements().get(one.movement)
    name = known.name if known else one.movement.replace("-", " ").capitalize()
    kit = KIT_WORDS[one.kit]
    day = day_words(one.started_at.date())
    return f"{name}: {do.load_words(one.load_g)}, {kit}, {format_duration(one.interval_ms)} a set, {day}."
