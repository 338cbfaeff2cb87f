"""The live session: the warm-up checklist, practice, and the timed rounds, readable from two metres."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

import flet as ft

from companion.style.kinds import KIND_WORD
from companion.style.words import change_words, dose_words, form_words, item_words
from companion.views.controls.big_words import big_words
from companion.views.controls.buttons import bound, button_row, primary_button, quiet_button
from companion.views.controls.frame import beside, columns, lies_across, page_frame
from companion.views.controls.load_stepper import load_input
from companion.views.controls.parts import notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import MAX_PAGE_WIDTH, Role, Space, Type
from companion.views.controls.tick import tick_row
from companion.views.session.live import finish_words, hold_clock, live_clock, strip
from companion.views.session.swaps import easier_button, missing_buttons
from engine.base.units import format_duration, format_load
from engine.live.state import RunState, Status
from engine.live.timing import remaining_session_at
from engine.movements.movement import Side, Sides
from engine.plan.plan import DoseUnit
from engine.session.choices import Chosen
from engine.session.segment import BETWEEN, WITH_SIDES, Kind, Pace, Segment

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.session import Session
    from companion.state.app import State


KEEP_EVERYTHING = "Keep everything, finish later"
RESET = "Position lost. Breathe out, set up again, and go on with less range. Position comes first."


@safe_component
def running_screen(state: State, do: Session, _: Go) -> ft.Control:
    live = state.run.live
    assert live is not None
    current = live.state.current
    if live.state.status is Status.paused:
        return _paused(state, do)
    if current is None:
        return page_frame([words("One moment.")], title=None)
    if current.pace is Pace.self:
        return _self_paced(state, current, do)
    return _clocked(state, current, do)


def _hurts(do: Session) -> ft.Control:
    return quiet_button("Something hurts", bound(do.something_hurts), tone="caution", tall=True, expand=True)


def _paused(state: State, do: Session) -> ft.Control:
    live = state.run.live
    assert live is not None
    current = live.state.current
    gap = [notice("note", _away(live.gap_ms))] if live.gap_ms else []
    where = [words(_title(live.state, current), size=Type.TITLE, strong=True)] if current else []
    return page_frame(
        [
            *gap,
            *where,
            words(
                f"{format_duration(remaining_session_at(live.state, live.state.at_ms))} left in the session"
            ),
            *_position_lost(state),
            section_title("Or"),
            *map(_row, easier_button(do.swap)),
            *map(_row, missing_buttons(do.swap)),
            _row(quiet_button("Once more from the start", bound(_after_resume, do, do.redo), expand=True)),
            _row(quiet_button("One step back", bound(_after_resume, do, do.back), expand=True)),
            _row(quiet_button("Skip this", bound(_after_resume, do, do.skip), expand=True)),
            *_both_sides(live.state, do),
            _row(quiet_button("End here and log", bound(do.end_early), tone="danger", expand=True)),
        ],
        title="Paused",
        top_at="paused",
        actions=[_hurts(do), primary_button("Go on", bound(do.resume), expand=True, autofocus=True)],
    )


def _away(gap_ms: int) -> str:
    length = format_duration(abs(gap_ms))
    if gap_ms < 0:
        return f"The clock of this device was set back by {length}. The session waited."
    return f"You were away for {length}. The session waited."


def _both_sides(run: RunState, do: Session) -> list[ft.Control]:
    """Whoever ends between the sides is offered the other one first."""
    if run.current is None or run.interval_end == run.index + 1:
        return []
    return [_row(quiet_button("The other side too, then end", bound(do.end_with_both_sides), expand=True))]


def _position_lost(state: State) -> list[ft.Control]:
    """After a lost position: a breath and a reset, less range; the easier form is beside it."""
    live = state.run.live
    assert live is not None
    run, last = live.state, live.state.lost[-1] if live.state.lost else None
    if run.in_hand is None or last is None or run.hold.running:
        return []
    just_now = last.segment_id == run.in_hand.id and last.session_ms >= run.anchor.entered_ms
    return [notice("note", RESET, announce=True)] if just_now else []


async def _after_resume(do: Session, then: object) -> None:
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
    return next((s.side for s in run.coming if s.kind in WITH_SIDES), None)


def _self_paced(state: State, current: Segment, do: Session) -> ft.Control:
    """A checklist of the block's round: what is on stands on top, large; the rest can be seen at a glance."""
    live = state.run.live
    assert live is not None
    run, item = live.state, live.state.session.item(current)
    assert item is not None
    holds = item.dose is not None and item.dose.unit is DoseUnit.seconds
    load = _load(state, item.chosen, do) if current.kind is Kind.practice else []
    hold = [hold_clock(state, current, do)] if holds else []
    dose = words(f"{dose_words(item.dose)}  {form_words(item.chosen)}".strip(), size=Type.TITLE)
    cues = ft.Column([words(text, size=Type.LEAD) for text in item.chosen.cues], spacing=Space.XS)
    hints = [*_position_lost(state), cues, *_placing(item.chosen), *load]
    rest = [
        section_title(_progress(run, current), detail=finish_words(state, do)),
        _checklist(run, current, do),
        button_row(
            quiet_button("Pause", bound(do.pause)),
            quiet_button("Skip", bound(do.skip)),
            quiet_button("Back", bound(do.back)),
            *([] if holds else [quiet_button("Position lost", bound(do.position_lost))]),
            *easier_button(do.swap, short=True),
            *missing_buttons(do.swap),
        ),
    ]
    across = lies_across(ft.context.page)
    name = big_words(_title(run, current), size=Type.FAR if across else Type.DIGITS)
    return page_frame(
        [
            *_changed(state, do),
            name,
            *([*hold, beside([dose], hints), *rest] if across else [dose, *hold, *hints, *rest]),
        ],
        title=None,
        top_at=current.id,
        width=MAX_PAGE_WIDTH if across else None,
        actions=[_hurts(do), primary_button("Done", bound(do.tick), expand=True, autofocus=True)],
    )


def _placing(chosen: Chosen) -> list[ft.Control]:
    return [notice("note", chosen.placing)] if chosen.placing else []


def _progress(run: RunState, current: Segment) -> str:
    rounds = max((s.round or 0 for s in run.segments if s.block == current.block), default=0)
    counted = f" {current.round} of {rounds}" if rounds > 1 else ""
    return f"{KIND_WORD[current.kind]}{counted}"


def _checklist(run: RunState, current: Segment, do: Session) -> ft.Control:
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


WEAKER_SIDE = "Both sides lift the same: what the weaker one can do."


def _load(
    state: State, chosen: Chosen | None, do: Session, *, before: Sequence[Chosen] = ()
) -> list[ft.Control]:
    """The working load is found while practising, of what was practised ``before`` too; it is carried to the
    log."""
    found = [_load_input(state, one, do) for one in before if one.dumbbells]
    if chosen is None or not chosen.dumbbells:
        return [section_title("Working load"), *found] if found else []
    proposal = state.run.proposals.get(chosen.movement)
    first_g = proposal.practice_g if proposal else None
    first = f"begin with {format_load(first_g, state.home.unit)}" if first_g else "begin with about half"
    return [
        section_title("Working load", detail=first),
        *found,
        _load_input(state, chosen, do),
        *([words(WEAKER_SIDE)] if chosen.sides is not Sides.none else []),
        *([words(proposal.reason)] if proposal else []),
    ]


def _load_input(state: State, chosen: Chosen, do: Session) -> ft.Control:
    each = ", each" if chosen.dumbbells == 2 else ""
    load_g = state.run.answers.loads_g.get(chosen.movement)
    change = partial(do.set_load, chosen.movement)
    return load_input(f"{chosen.name}{each}", load_g, change, unit=state.home.unit)


def _practised(state: State, current: Segment, do: Session) -> list[ft.Control]:
    """Between two practices: the load of what was just practised, and of what comes."""
    assert state.run.live is not None
    run = state.run.live.state
    coming = next((s for s in run.coming if s.kind not in BETWEEN), None)
    just, next_one = (
        run.session.chosen(s) if s is not None and s.kind is Kind.practice else None
        for s in (run.in_hand, coming)
    )
    if current.kind not in BETWEEN:
        return []
    before = [just] if just is not None and just != next_one else []
    return _load(state, next_one, do, before=before)


def _clocked(state: State, current: Segment, do: Session) -> ft.Control:
    live = state.run.live
    assert live is not None
    run, chosen = live.state, live.state.leads_to(live.state.index)
    load = _practised(state, current, do)
    clock, controls = live_clock(state, current, do, then=_next(run)), _controls(current, do)
    hints, changed, hurts = _reminders(current, chosen), _changed(state, do), _hurts(do)
    pause = primary_button("Pause", bound(do.pause), expand=True, autofocus=True)
    if lies_across(ft.context.page):
        rests = current.kind in BETWEEN
        shown = [beside([clock], [*changed, *load, *hints])] if rests else [clock, *changed]
        shown, actions = [*shown, strip(state)], [hurts, *controls, pause]
    else:
        shown = [columns([clock, button_row(*controls), *changed, *load], [*hints, strip(state)])]
        actions = [hurts, pause]
    return page_frame(
        [_heading(state, current, do), *shown],
        title=None,
        top_at=current.id,
        wide=True,
        actions=actions,
    )


def _changed(state: State, do: Session) -> list[ft.Control]:
    """What the last re-fit changed, while it is new, and the way to take it back."""
    live = state.run.live
    assert live is not None
    if not live.said or live.state.index > live.said_at + 1:
        return []
    said = notice("note", live.said, announce=True)
    if not live.state.before_refit:
        return [said]
    return [said, _row(quiet_button(KEEP_EVERYTHING, bound(do.keep_everything), expand=True))]


def _heading(state: State, current: Segment, do: Session) -> ft.Control:
    assert state.run.live is not None
    run = state.run.live.state
    kind = words(KIND_WORD[current.kind], size=Type.TITLE, strong=True, colour=Role.ACCENT)
    name = big_words(_title_for(run, current), size=Type.FAR)
    said = (_progress_of_round(run, current), finish_words(state, do))
    where = [words(one, size=Type.LEAD, colour=Role.INK_SOFT) for one in said if one]
    top = ft.Row([kind, *where], spacing=Space.M, wrap=True)
    spoken = ft.Semantics(identifier="phase", live_region=True, container=True, content=name)
    return ft.Column([top, spoken], spacing=Space.XS)


def _title_for(run: RunState, current: Segment) -> str:
    chosen = run.leads_to(run.index)
    if current.kind in BETWEEN:
        return f"Next: {_with_side(chosen.name, _side_to_come(run))}" if chosen else KIND_WORD[current.kind]
    return chosen.name if chosen else KIND_WORD[current.kind]


def _progress_of_round(run: RunState, current: Segment) -> str:
    rounds = max((s.round or 0 for s in run.segments if s.block == current.block), default=0)
    return f"Round {current.round} of {rounds}" if current.round else ""


def _next(run: RunState) -> str:
    current, following = run.current, run.coming[0] if run.coming else None
    if current is None or following is None:
        return "Last one."
    if following.kind is Kind.side_change:
        return change_words(run.session.chosen(following), following.side)
    if current.kind in BETWEEN:
        return ""
    if following.kind in (Kind.work, Kind.practice):
        return f"Then {_title(run, following)}"
    return f"Then {KIND_WORD[following.kind].lower()}"


def _reminders(current: Segment, chosen: Chosen | None) -> list[ft.Control]:
    if chosen is None or current.kind not in (Kind.rest, Kind.get_ready):
        return []
    lines: list[ft.Control] = [words(text, size=Type.LEAD) for text in (*chosen.cues, chosen.end_point)]
    return [ft.Column(lines, spacing=Space.XS), *_placing(chosen)]


def _controls(current: Segment, do: Session) -> list[ft.Control]:
    """What is there in every segment keeps its place."""
    controls = [quiet_button("Skip", bound(do.skip)), quiet_button("Back", bound(do.back))]
    if current.kind is Kind.rest:
        controls.append(quiet_button("15 s more rest", bound(do.more_rest)))
    controls.append(quiet_button("Position lost", bound(do.position_lost)))
    if current.kind in (Kind.work, Kind.practice):
        controls += easier_button(do.swap, short=True)
    return controls
