"""The quick log: everything as planned unless edited; loads, effort, position, a note. Under a minute."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.views.buttons import bound
from companion.views.frame import columns, page_frame
from companion.views.inputs import choice_row, field, stepper, tick_row
from companion.views.loads import load_input
from companion.views.parts import group, notice, primary_button, quiet_button, section_title, words
from companion.views.ratings import rating
from companion.views.safe import safe_component
from companion.views.theme import Role, Space
from engine.events import Ending
from engine.record import LimitedBy, SetAnswer, SetDone, sets_of
from engine.units import LoadUnit, format_duration

if TYPE_CHECKING:
    from companion.actions import Actions
    from companion.state import State

ENDED = {
    Ending.finished: "All of it done.",
    Ending.early: "Ended early. What was done is kept.",
    Ending.pain: "Stopped for pain. What was done is kept, and the pain note with it.",
}
EFFORT_SCALE = "0 nothing at all, 10 everything you had"
EFFORT_NOT_SAID = "As planned, effort not said."
LIMITS = tuple((limit.value, limit.value.capitalize()) for limit in LimitedBy)


@safe_component
def log_screen(state: State, do: Actions) -> ft.Control:
    live = state.live
    assert live is not None
    opened, set_opened = ft.use_state("")
    run = live.state
    names = {i.chosen.movement: i.chosen.name for block in run.session.blocks for i in block.items}
    sets = sets_of(run, state.answers)
    worked_ms = sum(done.worked_ms for done in run.done)
    ending = run.ending or Ending.early
    return page_frame(
        [
            notice("note", f"{ENDED[ending]} {format_duration(worked_ms)} in all."),
            columns(
                [_effort(state.answers.effort, do), *_loads(state, sets, names, do)],
                [
                    *_sets(sets, names, opened, set_opened, do),
                    field("A word to your coach", state.answers.note, do.log_note, lines=3, key="note"),
                ],
            ),
        ],
        title="How was it?",
        wide=True,
        actions=[primary_button("Save", bound(do.save_log), expand=True)],
    )


def _effort(effort: float | None, do: Actions) -> ft.Control:
    """None is no answer and looks like none; the answer tapped again is taken back."""
    return group(
        section_title("How hard was the session?", detail=EFFORT_SCALE),
        rating(effort, do.log_effort, name="Effort", what="effort"),
        words(EFFORT_NOT_SAID if effort is None else f"Effort {effort:g} of 10.", colour=Role.INK_SOFT),
    )


def _loads(state: State, sets: tuple[SetDone, ...], names: dict[str, str], do: Actions) -> list[ft.Control]:
    """One load a movement; it holds for every round."""
    unit = state.profile.unit if state.profile else LoadUnit.kg
    rows: list[ft.Control] = [
        load_input(
            f"{names[movement]}, each" if dumbbells == 2 else names[movement],
            state.answers.loads_g.get(movement),
            partial(do.set_load, movement),
            unit=unit,
        )
        for movement, dumbbells in dict.fromkeys((s.movement, s.dumbbells) for s in sets if s.dumbbells)
    ]
    return [group(section_title("Loads"), *rows)] if rows else []


def _sets(
    sets: tuple[SetDone, ...], names: dict[str, str], opened: str, on_open: Callable[..., Any], do: Actions
) -> list[ft.Control]:
    """Every set as planned; a tap opens one to correct it."""
    rows: list[ft.Control] = []
    for done in sets:
        rows.append(ft.Row([quiet_button(_set_words(done, names), bound(on_open, done.key), expand=True)]))
        if done.key == opened:
            rows.append(_one_set(done, do))
    if not rows:
        return []
    detail = "as planned, unless you open one"
    return [group(section_title("Sets", detail=detail), *rows)]


def _set_words(done: SetDone, names: dict[str, str]) -> str:
    name = names[done.movement]
    side = "" if done.side == "both" else f", {done.side}"
    counted = f", {done.repetitions} repetitions" if done.repetitions is not None else ""
    lost = "" if done.position_held else ", position lost"
    return f"Round {done.round}: {name}{side}{counted}{lost}"


def _one_set(done: SetDone, do: Actions) -> ft.Control:
    answer = SetAnswer.model_validate(done.model_dump(include=set(SetAnswer.model_fields)))
    planned = done.repetitions if done.repetitions is not None else (done.planned_repetitions or 0)

    def told(**changes: object) -> None:
        do.log_set(done.key, **changes)

    limit = answer.limited_by.value if answer.limited_by else None
    return ft.Container(
        content=ft.Column(
            [
                words("Repetitions"),
                stepper(
                    planned, lambda n: told(repetitions=n), unit="repetition", steps=(-2, -1, 1, 2), high=200
                ),
                tick_row("Position held", answer.position_held, lambda on: told(position_held=on)),
                tick_row("Full range kept", answer.range_kept, lambda on: told(range_kept=on)),
                words("What limited you?"),
                choice_row(LIMITS[:3], limit, lambda one: told(limited_by=one), name="What limited you"),
                choice_row(
                    LIMITS[3:], limit, lambda one: told(limited_by=one), name="What limited you, more"
                ),
            ],
            spacing=Space.S,
        ),
        padding=Space.S,
        bgcolor=Role.SURFACE,
    )
