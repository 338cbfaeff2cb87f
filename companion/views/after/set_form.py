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
from companion.words.saying import msgid, say, several, words_here
from engine.base.message import Listed, Own, Seconds, in_turn
from engine.base.units import MS_PER_S, LoadUnit
from engine.live.state import Outcome
from engine.load.rack import Rack
from engine.movements.movement import Kit, Side
from engine.movements.terms import load_term, side_term
from engine.record.record import LimitedBy, SetAnswer, SetDone
from engine.record.reserve import MOST_LEFT, effort_of, left_after
from engine.record.sets import held_s_of, is_skipped, repetitions_of

LEFT_IN_RESERVE = msgid("Repetitions still possible at the end")
RESERVES = tuple((str(n), f"{n}+" if n == MOST_LEFT else str(n)) for n in range(MOST_LEFT + 1))
LIMITS = {
    LimitedBy.muscle: msgid("Muscle"),
    LimitedBy.grip: msgid("Grip"),
    LimitedBy.breath: msgid("Breath"),
    LimitedBy.balance: msgid("Balance"),
    LimitedBy.position: msgid("Form"),
    LimitedBy.joint: msgid("Joint pain"),
}
LIMITED = {
    LimitedBy.muscle: msgid("limited by muscle"),
    LimitedBy.grip: msgid("limited by grip"),
    LimitedBy.breath: msgid("limited by breath"),
    LimitedBy.balance: msgid("limited by balance"),
    LimitedBy.position: msgid("limited by form"),
    LimitedBy.joint: msgid("limited by joint pain"),
}
LIMITS_IN_A_ROW = 3
SKIPPED = msgid("skipped")


def reserve_row(effort: float | None, on_choose: Callable[[int], object], *, name: str) -> ft.Control:
    """``effort`` is that of the set, or None; ``on_choose`` gets the repetitions left, 5 for 5 or more."""
    chosen = None if effort is None else f"{left_after(effort):g}"
    return choice_row(
        RESERVES, chosen, lambda one: on_choose(int(one)), name=name, said_before=say("still possible")
    )


def set_form(done: SetDone, *, unit: LoadUnit, rack: Rack, on_change: Callable[..., object]) -> ft.Control:
    """``done`` holds what was said so far; ``on_change`` gets the fields of ``SetAnswer`` that change."""
    limit = done.limited_by.value if done.limited_by else None
    limits = [(one.value, say(text)) for one, text in LIMITS.items()]

    def limited(one: str) -> None:
        on_change(limited_by=None if one == limit else one)  # tapped again, it is taken back

    load = load_choice(
        say("Weight of each" if done.dumbbells == 2 else "Weight"),
        done.load_g,
        lambda load_g: on_change(load_g=load_g),
        unit=unit,
        owned_g=rack.loads_g(done.dumbbells),
    )
    content: list[ft.Control] = [
        *([load] if done.dumbbells else []),
        *(_held(done, on_change) if done.is_hold else _repetitions(done, on_change)),
        tick_row(say("Form held"), done.form_held, lambda on: on_change(form_held=on)),
        tick_row(say("Full range"), done.range_kept, lambda on: on_change(range_kept=on)),
        tick_row(say("An easier version"), done.easier_variant, lambda on: on_change(easier_variant=on)),
        words(say("What limited you?"), strong=True),
        choice_row(limits[:LIMITS_IN_A_ROW], limit, limited, name=say("What limited you")),
        choice_row(limits[LIMITS_IN_A_ROW:], limit, limited, name=say("What limited you, more")),
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
    return [words(say("Seconds held"), strong=True), held]


def _repetitions(done: SetDone, on_change: Callable[..., object]) -> list[ft.Control]:
    counted = stepper(
        repetitions_of(done) or 0,
        lambda n: on_change(repetitions=n),
        unit="repetition",
        steps=(-2, -1, 1, 2),
        high=200,
    )
    left = reserve_row(done.effort, lambda one: on_change(effort=effort_of(one)), name=say(LEFT_IN_RESERVE))
    return [words(say("Repetitions"), strong=True), counted, words(say(LEFT_IN_RESERVE), strong=True), left]


def set_title(done: SetDone, name: str) -> str:
    if done.side is Side.both:
        return say("Round {round}: {movement}", round=done.round, movement=name)
    side = side_term(done.side)
    return say("Round {round}: {movement}, {side}", round=done.round, movement=name, side=side)


def set_words(done: SetDone, *, hurt: bool) -> str:
    """What became of a set, and what was said of it: “stopped for pain after 8 s, 8 kg”, “skipped”.

    ``hurt`` says whether something hurt in it.
    """
    worked = Seconds(seconds=max(1, round(done.worked_ms / MS_PER_S)))
    stopped = say("stopped for pain after {worked}" if hurt else "stopped after {worked}", worked=worked)
    if done.outcome is Outcome.done:
        return said_words(done, done.dumbbells)
    if is_skipped(done):
        return stopped if hurt else say(SKIPPED)
    if (said := _said_of(done, done.dumbbells)) is None:
        return stopped
    return say("{outcome}, {said:row}", outcome=stopped, said=said)


def said_words(said: SetAnswer, dumbbells: int) -> str:
    """“8 kg, 12 repetitions, 2 more possible, form slipped”; “as planned” where nothing was said."""
    row = _said_of(said, dumbbells)
    return say("as planned") if row is None else words_here().argument(row, "row")


def _said_of(said: SetAnswer, dumbbells: int) -> Listed | None:
    parts = [
        words_here().argument(load_term(said.load_g, Kit.pair if dumbbells == 2 else Kit.single))
        if said.load_g
        else "",
        several("{count} repetition", "{count} repetitions", said.repetitions)
        if said.repetitions is not None
        else "",
        say("{held} held", held=Seconds(seconds=said.held_s)) if said.held_s is not None else "",
        _possible(said.effort),
        "" if said.form_held else say("form slipped"),
        "" if said.range_kept else say("range shortened"),
        say("an easier version") if said.easier_variant else "",
        say(LIMITED[said.limited_by]) if said.limited_by else "",
    ]
    return in_turn(Own(own=part) for part in parts if part) if any(parts) else None


def _possible(effort: float | None) -> str:
    if effort is None:
        return ""
    more = left_after(effort)
    return say("{more} or more possible" if more == MOST_LEFT else "{more} more possible", more=more)
