"""The live session: the warm-up checklist, practice, and the timed rounds, readable from two metres."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING, Literal

import flet as ft

from companion.text import KIND_WORD, clock_time, dose_words, form_words, item_words, spans
from companion.views.buttons import bound
from companion.views.frame import page_frame
from companion.views.inputs import tick_row
from companion.views.loads import load_input
from companion.views.parts import clock_face, notice, primary_button, quiet_button, section_title, words
from companion.views.ruler import time_strip
from companion.views.safe import safe_component
from companion.views.side_shape import side_shape
from companion.views.theme import MAX_TEXT_WIDTH, Role, Space, Type, clock_px
from engine.movement import Side, StartsWith
from engine.plan import DoseUnit
from engine.run import RunState, Status
from engine.segment import Chosen, Kind, Pace, Segment
from engine.tempo import predicted_repetitions
from engine.units import LoadUnit, format_duration

if TYPE_CHECKING:
    from companion.actions import Actions
    from companion.state import State

TICK_S = 0.2
_WITH_SIDES = frozenset({Kind.work, Kind.practice, Kind.cool_down})


@safe_component
def running_screen(state: State, do: Actions) -> ft.Control:
    live = state.live
    assert live is not None
    current = live.state.current
    if live.state.status is Status.paused:
        return _paused(state, do)
    if current is None:
        return page_frame([words("One moment.")], title=None)
    if current.pace is Pace.self:
        return _self_paced(state, current, do)
    return _clocked(state, current, do)


def _hurts(do: Actions) -> ft.Control:
    return quiet_button("Something hurts", bound(do.something_hurts), tone="caution", tall=True, expand=True)


def _paused(state: State, do: Actions) -> ft.Control:
    live = state.live
    assert live is not None
    current = live.state.current
    gap = []
    if live.gap_ms:
        gap = [notice("note", f"You were away for {format_duration(live.gap_ms)}. The session waited.")]
    where = [words(_title(live.state, current), size=Type.TITLE, strong=True)] if current else []
    return page_frame(
        [
            *gap,
            *where,
            words(
                f"{format_duration(live.state.remaining_session_at(live.state.at_ms))} left in the session"
            ),
            section_title("Or"),
            _row(quiet_button("Once more from the start", bound(_after_resume, do, do.redo), expand=True)),
            _row(quiet_button("One step back", bound(_after_resume, do, do.back), expand=True)),
            _row(quiet_button("Skip this", bound(_after_resume, do, do.skip), expand=True)),
            _row(quiet_button("End here and log", bound(do.end_early), tone="danger", expand=True)),
        ],
        title="Paused",
        actions=[_hurts(do), primary_button("Go on", bound(do.resume), expand=True)],
    )


async def _after_resume(do: Actions, then: object) -> None:
    await do.resume()
    await then()  # type: ignore[operator]


def _row(control: ft.Control) -> ft.Control:
    return ft.Row([control])


def _title(run: RunState, segment: Segment) -> str:
    chosen = run.session.chosen(segment)
    name = chosen.name if chosen else KIND_WORD[segment.kind]
    return _with_side(name, segment.side)


def _with_side(name: str, side: Side | None) -> str:
    return f"{name}, {side}" if side in (Side.left, Side.right) else name


def _side_to_come(run: RunState) -> Side | None:
    """The side that starts after a rest."""
    return next((s.side for s in run.coming if s.kind in _WITH_SIDES), None)


def _self_paced(state: State, current: Segment, do: Actions) -> ft.Control:
    """A checklist of the block's round: what is on stands on top, large; the rest can be seen at a glance."""
    live = state.live
    assert live is not None
    run, item = live.state, live.state.session.item(current)
    assert item is not None
    holds = item.dose is not None and item.dose.unit is DoseUnit.seconds
    load = _load(state, item.chosen, do) if current.kind is Kind.practice else []
    return page_frame(
        [
            words(_title(run, current), size=Type.DIGITS, strong=True),
            words(f"{dose_words(item.dose)}  {form_words(item.chosen)}".strip(), size=Type.TITLE),
            *([hold_clock(state, current, do)] if holds else []),
            ft.Column([words(text, size=Type.LEAD) for text in item.chosen.cues], spacing=Space.XS),
            *_placing(item.chosen),
            *load,
            section_title(_progress(run, current), detail=_finish(state)),
            _checklist(run, current, do),
        ],
        title=None,
        actions=[_hurts(do), primary_button("Done", bound(do.tick), expand=True)],
    )


def _placing(chosen: Chosen) -> list[ft.Control]:
    return [notice("note", chosen.placing)] if chosen.placing else []


def _progress(run: RunState, current: Segment) -> str:
    rounds = max((s.round or 0 for s in run.segments if s.block == current.block), default=0)
    counted = f" {current.round} of {rounds}" if rounds > 1 else ""
    return f"{KIND_WORD[current.kind]}{counted}"


def _checklist(run: RunState, current: Segment, do: Actions) -> ft.Control:
    group = [
        (index, s)
        for index, s in enumerate(run.segments)
        if (s.block, s.round, s.kind) == (current.block, current.round, current.kind)
    ]

    async def tick(_: bool) -> None:
        await do.tick()

    async def ignore(_: bool) -> None:
        """Items come in their order; what is done is undone by stepping back."""

    rows: list[ft.Control] = [
        tick_row(
            _title(run, segment),
            index < run.index,
            tick if index == run.index else ignore,
            dose=item_words(run.session.item(segment)),
        )
        for index, segment in group
    ]
    return ft.Column(rows, spacing=0)


def _load(state: State, chosen: Chosen, do: Actions) -> list[ft.Control]:
    """The working load is found while practising; it is carried to the log."""
    if not chosen.dumbbells:
        return []
    each = ", each" if chosen.dumbbells == 2 else ""
    return [
        section_title("Working load", detail="start with about half"),
        load_input(
            f"{chosen.name}{each}",
            state.answers.loads_g.get(chosen.movement),
            partial(do.set_load, chosen.movement),
            unit=state.profile.unit if state.profile else LoadUnit.kg,
        ),
    ]


def _clocked(state: State, current: Segment, do: Actions) -> ft.Control:
    live = state.live
    assert live is not None
    run = live.state
    chosen = run.session.chosen(current)
    extra = _load(state, chosen, do) if chosen and _practising(run, current) else []
    return page_frame(
        [
            _heading(run, current),
            live_clock(state, current, do),
            *([words(_next(run), size=Type.TITLE)] if _next(run) else []),
            ft.Row(_controls(current, do), wrap=True, spacing=Space.S, run_spacing=Space.S),
            *extra,
            *_reminders(current, chosen),
            strip(state),
        ],
        title=None,
        wide=True,
        actions=[_hurts(do), primary_button("Pause", bound(do.pause), expand=True)],
    )


def _practising(run: RunState, current: Segment) -> bool:
    block = next(block for block in run.session.blocks if block.id == current.block)
    return block.kind == "practice" and current.kind is Kind.rest


def _heading(run: RunState, current: Segment) -> ft.Control:
    kind = words(KIND_WORD[current.kind], size=Type.TITLE, strong=True, colour=Role.ACCENT)
    name = words(_title_for(run, current), size=40, strong=True)
    where = words(_progress_of_round(run, current), size=Type.LEAD, colour=Role.INK_SOFT)
    top = ft.Row([kind, where], alignment=ft.MainAxisAlignment.SPACE_BETWEEN, wrap=True)
    spoken = ft.Semantics(identifier="phase", live_region=True, container=True, content=name)
    return ft.Column([top, spoken], spacing=Space.XS)


def _title_for(run: RunState, current: Segment) -> str:
    chosen = run.session.chosen(current)
    if current.kind in (Kind.rest, Kind.transition, Kind.get_ready):
        return f"Next: {_with_side(chosen.name, _side_to_come(run))}" if chosen else KIND_WORD[current.kind]
    return chosen.name if chosen else KIND_WORD[current.kind]


def _progress_of_round(run: RunState, current: Segment) -> str:
    block = next(block for block in run.session.blocks if block.id == current.block)
    return f"Round {current.round} of {block.rounds}" if current.round else ""


def _next(run: RunState) -> str:
    current, following = run.current, run.coming[0] if run.coming else None
    if current is None or following is None:
        return "Last one."
    if following.kind is Kind.side_change:
        return f"Then change to the {following.side}"
    if current.kind in (Kind.rest, Kind.get_ready, Kind.transition):
        return ""
    if following.kind in (Kind.work, Kind.practice):
        return f"Then {_title(run, following)}"
    return f"Then {KIND_WORD[following.kind].lower()}"


def _reminders(current: Segment, chosen: Chosen | None) -> list[ft.Control]:
    if chosen is None or current.kind not in (Kind.rest, Kind.get_ready):
        return []
    lines: list[ft.Control] = [words(text, size=Type.LEAD) for text in (*chosen.cues, chosen.end_point)]
    return [ft.Column(lines, spacing=Space.XS), *_placing(chosen)]


def _controls(current: Segment, do: Actions) -> list[ft.Control]:
    controls = [quiet_button("Skip", bound(do.skip)), quiet_button("Back", bound(do.back))]
    if current.kind is Kind.rest:
        controls.insert(0, quiet_button("15 s more rest", bound(do.more_rest)))
    if current.kind in (Kind.work, Kind.practice):
        controls.insert(0, quiet_button("Position lost", bound(do.position_lost)))
    return controls


def _finish(state: State) -> str:
    live = state.live
    assert live is not None
    return "" if live.state.finish_released else f"done by {clock_time(live.finish_at)}"


def _repaint_with_time(do: Actions) -> None:
    """Draws the component again a few times a second, but never while a cue is about to fire."""
    _, set_now = ft.use_state(do.session_ms())

    async def tick() -> None:
        while True:
            await asyncio.sleep(TICK_S)
            if not do.cue_is_near():
                set_now(do.session_ms())

    running: ft.MutableRef[asyncio.Task[None] | None] = ft.use_ref(None)

    async def begin() -> None:
        running.current = asyncio.create_task(tick())

    def end() -> None:
        if running.current is not None:
            running.current.cancel()

    ft.use_effect(begin, [], end)


@safe_component
def live_clock(state: State, current: Segment, do: Actions) -> ft.Control:
    """The leaf that repaints: what is left of the interval, the side, the pacer."""
    _repaint_with_time(do)
    live = state.live
    if live is None:
        return words("")
    run, now_ms = live.state, do.session_ms()
    left_ms = run.remaining_at(now_ms)
    shown = format_duration(left_ms)
    page = ft.context.page
    width = min(page.width or 412, MAX_TEXT_WIDTH)
    face = clock_face(shown, size=clock_px(width, shown, height=page.height or 915))
    rows: list[ft.Control] = [ft.Row([face], alignment=ft.MainAxisAlignment.CENTER)]
    if current.kind in _WITH_SIDES and current.side is not None:
        done = 1 - left_ms / max(1, current.planned_ms)
        rows.append(side_shape(_side_word(current.side), done, height=112))
        rows += _pacer(run, current, run.elapsed_at(now_ms))
    return ft.Column(rows, spacing=Space.M, horizontal_alignment=ft.CrossAxisAlignment.CENTER)


def _side_word(side: Side) -> Literal["left", "right", "both"]:
    return side.value


_PHASES = ("lower", "pause", "lift", "top")


def _pacer(run: RunState, current: Segment, elapsed_ms: int) -> list[ft.Control]:
    """Which phase of which repetition: from the movement's own starting phase."""
    item = run.session.item(current)
    if item is None or item.tempo is None or item.chosen.starts_with is StartsWith.hold:
        return []
    wanted = predicted_repetitions(current.planned_ms, item.tempo)
    said = pace_words(item.tempo, item.chosen.starts_with, elapsed_ms)
    if wanted is None or said is None:
        return []
    number, phase = said
    return [words(f"{min(number, wanted)} of {wanted} · {phase}", size=Type.TITLE, name="")]


def pace_words(tempo: str, starts_with: StartsWith, elapsed_ms: int) -> tuple[int, str] | None:
    """The repetition (from 1) and its phase at a moment of the interval; None for an ``X`` tempo."""
    lengths = [float("nan") if part == "X" else int(part) * 1000 for part in tempo.split("-")]
    if any(length != length for length in lengths):
        return None
    order = (2, 3, 0, 1) if starts_with is StartsWith.lifting else (0, 1, 2, 3)
    number, into_ms = divmod(elapsed_ms, int(sum(lengths)))
    for phase in order:
        if into_ms < lengths[phase]:
            return number + 1, _PHASES[phase]
        into_ms -= int(lengths[phase])
    return number + 1, _PHASES[order[-1]]


@safe_component
def hold_clock(state: State, current: Segment, do: Actions) -> ft.Control:
    """A hold: time in good position is banked and can be interrupted and resumed."""
    _repaint_with_time(do)
    live = state.live
    if live is None:
        return words("")
    run, item = live.state, live.state.session.item(current)
    assert item is not None
    assert item.dose is not None
    banked_ms = run.banked_at(do.session_ms())
    shown = f"{format_duration(banked_ms)} held of {item.dose.low} s"
    label = "Leave the hold" if run.holding else "Hold"
    return ft.Column(
        [
            words(shown, size=Type.TITLE, strong=True),
            ft.Row(
                [
                    primary_button(label, bound(do.hold, not run.holding), expand=True),
                    quiet_button("Position lost", bound(do.position_lost), expand=True),
                ]
            ),
        ],
        spacing=Space.S,
    )


@safe_component
def strip(state: State) -> ft.Control:
    """The session's time with a mark at the present, redrawn once for each segment."""
    live = state.live
    if live is None:
        return words("")
    run = live.state
    past_ms = sum(segment.planned_ms for segment in run.segments[: run.index])
    return ft.Column(
        [time_strip(spans(run.session), now_ms=past_ms), words(_finish(state), colour=Role.INK_SOFT)],
        spacing=Space.XS,
    )
