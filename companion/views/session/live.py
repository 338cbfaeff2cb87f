"""What moves on the running screen: the clock, the side that works, the pacer, the present on the strip."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import flet as ft

from companion.style.strip import strip_of
from companion.views.controls.frame import beside, column_px, lies_across
from companion.views.controls.parts import clock_face, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type, clock_px
from companion.views.drawings.side_shape import ShownSide, side_shape
from companion.views.drawings.strip import time_strip
from companion.words.saying import msgid, said, say
from engine.base.units import MS_PER_S, format_duration
from engine.live.spoken import LIGHT_FIRST
from engine.live.state import RunState
from engine.live.timing import elapsed_at, held_at, lead_in_at, remaining_at
from engine.movements.movement import Side, StartsWith
from engine.movements.tempo import Phase, phase_at, predicted_repetitions
from engine.session.segment import WITH_SIDES, Segment

if TYPE_CHECKING:
    from companion.actions.session.session import Session
    from companion.state.app import State


TICK_S = 0.1
SHAPE_PX, SHAPE_ACROSS_PX = 112, 72
GET_READY = msgid("Get ready to go on")
NO_WEIGHT, LESS_FAR = msgid("No weight, moving less far"), msgid("Moving less far")


def repaint_with_time(state: State, do: Session) -> None:
    """A hook: draws the component again when a shown second changes, but never beside a cue."""
    _, set_seconds = ft.use_state(_seconds(state, do))

    async def tick() -> None:
        while True:
            await asyncio.sleep(TICK_S)
            if not do.cue_is_near():
                set_seconds(_seconds(state, do))

    running: ft.MutableRef[asyncio.Task[None] | None] = ft.use_ref(None)

    async def begin() -> None:
        running.current = asyncio.create_task(tick())

    def end() -> None:
        if running.current is not None:
            running.current.cancel()

    ft.use_effect(begin, [], end)


def _seconds(state: State, do: Session) -> tuple[int, ...]:
    """The whole seconds of each time that is shown or paces something."""
    if state.run.live is None:
        return ()
    run, now_ms = state.run.live.state, do.session_ms()
    times_ms = (
        -remaining_at(run, now_ms),
        elapsed_at(run, now_ms),
        held_at(run, now_ms),
        now_ms - run.anchor.since_ms,
        -lead_in_at(run, now_ms),
    )
    return tuple(time_ms // MS_PER_S for time_ms in times_ms)


def clock_of(left_ms: int) -> ft.Control:
    """The clock, as large as its column and the height of the page allow."""
    shown, page = format_duration(left_ms), ft.context.page
    across, height = lies_across(page), page.height or 915
    width = column_px(page.width or 412, halved=across)
    size = clock_px(width, shown, height=height * 4 / 3 if across else height)
    return ft.Row([clock_face(shown, size=size)], alignment=ft.MainAxisAlignment.CENTER)


@safe_component
def live_clock(state: State, current: Segment, do: Session, *, then: str) -> ft.Control:
    """The time left of the interval, the side, the pacer, and what comes ``then``; this repaints alone."""
    repaint_with_time(state, do)
    live = state.run.live
    if live is None:
        return words("")
    run, now_ms = live.state, do.session_ms()
    left_ms = remaining_at(run, now_ms)
    side, pacer = list[ft.Control](), list[ft.Control]()
    if current.kind in WITH_SIDES and current.side is not None:
        done = filled(1 - left_ms / max(1, current.planned_ms), moves=state.device.moves)
        height = SHAPE_ACROSS_PX if lies_across(ft.context.page) else SHAPE_PX
        side = [side_shape(_shown_side(run, current, current.side), done, height=height)]
        pacer = _pacer(run, current, elapsed_at(run, now_ms))
    if current.id in run.attempt.unloaded:
        chosen = run.session.chosen(current)
        how = NO_WEIGHT if chosen is not None and chosen.dumbbells else LESS_FAR
        side.append(words(say(how), size=Type.TITLE, strong=True, colour=Role.CAUTION))
    if lead_in_ms := lead_in_at(run, now_ms):
        return ft.Column([lead_in_clock(run, lead_in_ms), *side], spacing=Space.M)
    coming: list[ft.Control] = [words(then, size=Type.TITLE)] if then else []
    if side and lies_across(ft.context.page):
        return beside([clock_of(left_ms)], [*side, *coming, *pacer])
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column(
        [clock_of(left_ms), *side, *pacer, *coming], spacing=Space.M, horizontal_alignment=stretch
    )


def lead_in_clock(run: RunState, left_ms: int) -> ft.Control:
    """The lead-in after a pause: what to do, and how long until the work goes on."""
    light = [words(said(LIGHT_FIRST), size=Type.TITLE)] if run.anchor.light_first else []
    return ft.Column(
        [clock_of(left_ms), words(say(GET_READY), size=Type.TITLE, strong=True, colour=Role.ACCENT), *light],
        spacing=Space.M,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


def _shown_side(run: RunState, current: Segment, side: Side) -> ShownSide:
    """The side that works; whether both work at once or take turns is the movement's."""
    chosen = run.session.chosen(current)
    return "turns" if side is Side.both and chosen is not None and chosen.alternates else side.value


def filled(done: float, *, moves: bool) -> float:
    """How far the side's shape is filled, 0 to 1: steadily, or in quarters where nothing may move."""
    return done if moves else int(4 * done) / 4


_PACED = {
    Phase.lowering: msgid("{number} of {wanted} · lower"),
    Phase.bottom: msgid("{number} of {wanted} · pause"),
    Phase.lifting: msgid("{number} of {wanted} · lift"),
    Phase.top: msgid("{number} of {wanted} · top"),
}
_PACED_IN_TURN = {
    Phase.lowering: msgid("{number} of {wanted} in all · lower"),
    Phase.bottom: msgid("{number} of {wanted} in all · pause"),
    Phase.lifting: msgid("{number} of {wanted} in all · lift"),
    Phase.top: msgid("{number} of {wanted} in all · top"),
}
"""Sides that take turns are counted together."""


def _pacer(run: RunState, current: Segment, elapsed_ms: int) -> list[ft.Control]:
    """Which repetition it should be by now, and in which phase; sides that take turns count as one."""
    item = run.session.item(current)
    if item is None or item.tempo is None:
        return []
    wanted = predicted_repetitions(current.planned_ms, item.tempo, alternates=item.chosen.alternates)
    now = phase_at(item.tempo, elapsed_ms, lifts_first=item.chosen.starts_with is StartsWith.lifting)
    if wanted is None or now is None:
        return []
    number, phase = now
    paced, size = (_PACED_IN_TURN, Type.TITLE) if item.chosen.alternates else (_PACED, Type.FAR)
    shown = words(say(paced[phase], number=min(number, wanted), wanted=wanted), size=size, name="")
    return [ft.Row([shown], alignment=ft.MainAxisAlignment.CENTER)]


@safe_component
def strip(state: State) -> ft.Control:
    """The whole session to scale with a mark at the present, redrawn once for each segment."""
    live = state.run.live
    if live is None:
        return words("")
    run = live.state
    past_ms = sum(segment.planned_ms for segment in run.segments[: run.index])
    return time_strip(strip_of(run.segments), now_ms=past_ms)
