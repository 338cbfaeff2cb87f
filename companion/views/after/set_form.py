"""What can be said about one set. Everything counts as planned unless the person says otherwise."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from companion.views.controls.choice import choice_row
from companion.views.controls.load_input import load_choice
from companion.views.controls.parts import words
from companion.views.controls.stepper import stepper
from companion.views.controls.theme import Role, Space
from companion.views.controls.tick import tick_row
from engine.base.phrases import number_of
from engine.base.units import MS_PER_S, LoadUnit, format_load
from engine.live.state import Outcome
from engine.load.rack import Rack
from engine.record.record import LimitedBy, SetAnswer, SetDone
from engine.record.reserve import MOST_LEFT, effort_of, left_after
from engine.record.sets import held_s_of, is_skipped, repetitions_of

LEFT_IN_RESERVE = "Repetitions left at the end"
RESERVES = tuple((str(n), f"{n}+" if n == MOST_LEFT else str(n)) for n in range(MOST_LEFT + 1))
LIMITS = tuple((limit.value, limit.value.capitalize()) for limit in LimitedBy)
SKIPPED = "skipped"
WHAT_LIMITED = "What limited you"


def reserve_row(effort: float | None, on_choose: Callable[[int], object], *, name: str) -> ft.Control:
    """``effort`` is that of the set, or None; ``on_choose`` gets the repetitions left, 5 for 5 or more."""
    chosen = None if effort is None else f"{left_after(effort):g}"
    return choice_row(RESERVES, chosen, lambda one: on_choose(int(one)), name=name, said_before="left")


def set_form(done: SetDone, *, unit: LoadUnit, rack: Rack, on_change: Callable[..., object]) -> ft.Control:
    """``done`` holds what was said so far; ``on_change`` gets the fields of ``SetAnswer`` that change."""
    limit = done.limited_by.value if done.limited_by else None

    def limited(one: str) -> None:
        on_change(limited_by=None if one == limit else one)  # tapped again, it is taken back

    load = load_choice(
        "Load of each" if done.dumbbells == 2 else "Load",
        done.load_g,
        lambda load_g: on_change(load_g=load_g),
        unit=unit,
        owned_g=rack.loads_g(done.dumbbells),
    )
    content: list[ft.Control] = [
        *([load] if done.dumbbells else []),
        *(_held(done, on_change) if done.is_hold else _repetitions(done, on_change)),
        tick_row("Form held", done.form_held, lambda on: on_change(form_held=on)),
        tick_row("Full range kept", done.range_kept, lambda on: on_change(range_kept=on)),
        tick_row("An easier version", done.easier_variant, lambda on: on_change(easier_variant=on)),
        words(f"{WHAT_LIMITED}?", strong=True),
        *(
            choice_row(some, limit, limited, name=name)
            for some, name in ((LIMITS[:3], WHAT_LIMITED), (LIMITS[3:], f"{WHAT_LIMITED}, more"))
        ),
    ]
    return ft.Container(content=ft.Column(content, spacing=Space.S), padding=Space.S, bgcolor=Role.SURFACE)


def _held(done: SetDone, on_change: Callable[..., object]) -> list[ft.Control]:
    """The seconds of a hold: nobody knows how many repetitions were left of it."""
    held = stepper(
        round(held_s_of(done) or 0),
        lambda n: on_change(held_s=n),
        unit="second",
        steps=(-5, -1, 1, 5),
        high=600,
    )
    return [words("Seconds held", strong=True), held]


def _repetitions(done: SetDone, on_change: Callable[..., object]) -> list[ft.Control]:
    counted = stepper(
        repetitions_of(done) or 0,
        lambda n: on_change(repetitions=n),
        unit="repetition",
        steps=(-2, -1, 1, 2),
        high=200,
    )
    left = reserve_row(done.effort, lambda one: on_change(effort=effort_of(one)), name=LEFT_IN_RESERVE)
    return [words("Repetitions", strong=True), counted, words(LEFT_IN_RESERVE, strong=True), left]


def set_title(done: SetDone, name: str) -> str:
    side = "" if done.side == "both" else f", {done.side}"
    return f"Round {done.round}: {name}{side}"


def set_words(done: SetDone, unit: LoadUnit, *, hurt: bool) -> str:
    """What became of a set, and what was said of it: “stopped for pain after 8 s, 8 kg”, “skipped”.

    ``hurt`` says whether something hurt in it.
    """
    seconds = max(1, round(done.worked_ms / MS_PER_S))
    for_pain = " for pain" if hurt else ""
    if done.outcome is Outcome.done:
        return said_words(done, done.dumbbells, unit)
    if is_skipped(done):
        return f"stopped for pain after {seconds} s" if hurt else SKIPPED
    said = said_words(done, done.dumbbells, unit, nothing="")
    return ", ".join(filter(None, [f"stopped{for_pain} after {seconds} s", said]))


def said_words(said: SetAnswer, dumbbells: int, unit: LoadUnit, *, nothing: str = "as planned") -> str:
    """“8 kg, 12 repetitions, 2 more possible, form slipped”; ``nothing`` where that is all that was said."""
    parts = [
        f"{format_load(said.load_g, unit)}{' each' if dumbbells == 2 else ''}" if said.load_g else "",
        number_of(said.repetitions, "repetition") if said.repetitions is not None else "",
        f"{said.held_s} s held" if said.held_s is not None else "",
        _left_words(said.effort),
        "" if said.form_held else "form slipped",
        "" if said.range_kept else "range shortened",
        "an easier version" if said.easier_variant else "",
        f"limited by {said.limited_by}" if said.limited_by else "",
    ]
    return ", ".join(filter(None, parts)) or nothing


def _left_words(effort: float | None) -> str:
    if effort is None:
        return ""
    left = left_after(effort)
    return f"{MOST_LEFT} or more possible" if left == MOST_LEFT else f"{left:g} more possible"
