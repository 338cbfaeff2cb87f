"""Cues: what tells the person that something changes, each with its own pulses, tones and words.

Times are session time in milliseconds. A window is ``[start, end)``, so windows that follow each other
contain every cue once, whatever their lengths.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator
from enum import StrEnum

from engine.base.message import Message, message
from engine.base.model import Model
from engine.live.events import Ending
from engine.live.spoken import (
    BLOCK_DONE,
    COUNT,
    GET_DOWN,
    GET_READY,
    REST,
    SESSION_DONE,
    STOP,
    TO_THE_RIGHT,
    WORK,
    Spoken,
)
from engine.live.state import RunState, Status
from engine.live.timing import goes_on_by_itself, hold_pattern, hold_pattern_in, left_to_hold_ms
from engine.session.segment import BETWEEN, Kind, Pace
from engine.session.timed_hold import HoldMoment, amount_to_hold_ms

GET_DOWN_BEFORE_MS = 15_000
"""The call to get down, this long before work on the floor. † Our judgement, no source."""
COUNTDOWN_MS = 3_000
SHORTEST_WITH_COUNTDOWN_MS = 5_000
LOOK_AHEAD_MS = 600_000


class CueKind(StrEnum):
    get_ready = "get_ready"
    work = "work"
    change_side = "change_side"
    rest = "rest"
    get_down = "get_down"
    countdown = "count"
    block_done = "block_done"
    session_done = "session_done"
    stop = "stop"


class Tone(Model):
    """One tone of a cue: ``start_ms`` counts from the cue's moment."""

    start_ms: int
    length_ms: int
    hz: int


class TimedCue(Model):
    """A cue at a moment of session time. ``pattern_ms`` are its pulses, on, off, on … (W3C Vibration API: at
    most 10 entries)."""

    at_ms: int
    kind: CueKind
    pattern_ms: tuple[int, ...]
    tone: tuple[Tone, ...]
    said: tuple[Message, ...]


PATTERNS_MS: dict[CueKind, tuple[int, ...]] = {
    CueKind.get_ready: (120, 120, 450),
    CueKind.work: (700,),
    CueKind.change_side: (180, 140, 180),
    CueKind.rest: (90, 90, 90, 90, 90, 90, 90),
    CueKind.get_down: (450, 150, 120),
    CueKind.countdown: (60, 940, 60, 940, 60),
    CueKind.block_done: (320, 160, 320, 160, 320),
    CueKind.session_done: (320, 160, 320, 160, 320, 160, 900),
    CueKind.stop: (1200, 250, 1200),
}
"""The pulses of each cue in ms: on, off, on … The screen of the cues says each in words (``CUES`` in
``companion/views/home/cues.py``)."""

PITCHES_HZ: dict[CueKind, tuple[int, ...]] = {
    CueKind.get_ready: (390, 520),
    CueKind.work: (880,),
    CueKind.change_side: (660, 990),
    CueKind.rest: (440, 440, 440, 440),
    CueKind.get_down: (520, 390),
    CueKind.countdown: (740, 740, 740),
    CueKind.block_done: (520, 660, 780),
    CueKind.session_done: (520, 660, 780, 1040),
    CueKind.stop: (220, 220),
}
"""One pitch for each pulse of the cue."""

_STARTS = {
    Kind.work: CueKind.work,
    Kind.practice: CueKind.work,
    Kind.cool_down: CueKind.work,
    Kind.side_change: CueKind.change_side,
    Kind.rest: CueKind.rest,
    Kind.transition: CueKind.block_done,
}
"""The cue with which a segment starts; a lead-in and a warm-up start without one."""
_HOLD = {HoldMoment.hold: CueKind.work, HoldMoment.off: CueKind.rest, HoldMoment.held: CueKind.block_done}
_HOLD_SAID = {
    HoldMoment.hold: message("cue_hold"),
    HoldMoment.off: message("cue_rest_a_moment"),
    HoldMoment.held: message("cue_held"),
}
SAID_ALONE = {
    CueKind.get_ready: GET_READY,
    CueKind.work: WORK,
    CueKind.change_side: TO_THE_RIGHT,
    CueKind.rest: REST,
    CueKind.get_down: GET_DOWN,
    CueKind.countdown: COUNT,
    CueKind.block_done: BLOCK_DONE,
    CueKind.session_done: SESSION_DONE,
    CueKind.stop: STOP,
}
"""What is said when a cue is only tried; in a session the movement's name comes with it."""


def cue(kind: CueKind, at_ms: int, *said: Message) -> TimedCue:
    """A cue whose tones sound exactly during its pulses."""
    pattern = PATTERNS_MS[kind]
    starts = (sum(pattern[:index]) for index in range(0, len(pattern), 2))
    tones = (
        Tone(start_ms=start, length_ms=length, hz=pitch)
        for start, length, pitch in zip(starts, pattern[::2], PITCHES_HZ[kind], strict=True)
    )
    return TimedCue(at_ms=at_ms, kind=kind, pattern_ms=pattern, tone=tuple(tones), said=said)


def coming_cues(state: RunState, *, until_ms: int | None = None) -> tuple[TimedCue, ...]:
    """Every cue from the state's moment up to ``until_ms``, as far as the clock alone decides: the next part
    that waits for a tap ends the list. By default 10 minutes ahead."""
    end_ms = state.at_ms + LOOK_AHEAD_MS if until_ms is None else until_ms
    if (
        state.ending is Ending.finished
        and not state.attempt.asks_number
        and state.at_ms == state.anchor.entered_ms < end_ms
    ):
        return (_finished(state.at_ms),)  # a window may begin at the very end of the session
    if state.attempt.asks_number and state.at_ms == state.anchor.entered_ms < end_ms:
        return (_try_over(state.at_ms),)
    if state.status is not Status.running:
        return ()
    cues = sorted(_cues(Spoken(state)), key=lambda c: c.at_ms)
    return tuple(c for c in cues if state.at_ms <= c.at_ms < end_ms)


def _cues(spoken: Spoken) -> Iterator[TimedCue]:
    """Every cue of the current segment and of those after it, past ones included."""
    state = spoken.state
    yield from _lead_in_cues(spoken)
    start_ms = state.anchor.since_ms - state.anchor.elapsed_ms
    for index in range(state.index, len(state.segments)):
        segment = state.segments[index]
        if segment.pace is Pace.self:
            end_ms = yield from _hold_cues(state, index, start_ms)
            if end_ms is None:
                return
            start_ms = end_ms
            if segment.id == state.attempt.segment_id:
                yield _try_over(start_ms)
                return
            continue
        length_ms = segment.planned_ms + (state.anchor.extra_ms if index == state.index else 0)
        begun_ms = state.anchor.since_ms if index == state.index else start_ms
        if begun_ms == start_ms:
            yield from _start_cues(spoken, index, start_ms)
        inner = _inner_cues(spoken, index, start_ms, length_ms)
        yield from (one for one in inner if one.at_ms >= begun_ms)
        start_ms += length_ms
        if segment.id == state.attempt.segment_id:
            yield _try_over(start_ms)
            return
    yield _finished(start_ms)


def _lead_in_cues(spoken: Spoken) -> Iterator[TimedCue]:
    """The call to get ready on coming back from a pause, and what begins the interval again."""
    state = spoken.state
    anchor, current = state.anchor, state.current
    if anchor.back_ms is None or current is None:
        return
    yield cue(CueKind.get_ready, anchor.back_ms, *spoken.back(state.index))
    if current.kind in BETWEEN or current.kind is Kind.side_change:
        return
    holds, lead_ms = current.pace is Pace.self, hold_pattern(state).lead_ms
    ready_ms = anchor.since_ms + (lead_ms if holds else 0)
    yield cue(CueKind.countdown, ready_ms - COUNTDOWN_MS, COUNT)
    begins_anyway = lead_ms > 0 if holds else anchor.elapsed_ms == 0 and current.kind in _STARTS
    if not begins_anyway:
        yield cue(
            CueKind.work, ready_ms, *((_HOLD_SAID[HoldMoment.hold],) if holds else spoken.start(state.index))
        )


def _hold_cues(state: RunState, index: int, start_ms: int) -> Generator[TimedCue, None, int | None]:
    """The cues of a hold that runs by itself. Returns the moment at which it is held, None where it waits for
    a tap."""
    item, here = state.session.item(state.segments[index]), index == state.index
    amount_ms = amount_to_hold_ms(item)
    follows = not here and goes_on_by_itself(state, index - 1)
    if item is None or amount_ms is None or not (follows or (here and state.hold.running)):
        return None
    pattern = hold_pattern(state) if here else hold_pattern_in(state, state.segments[index], True)
    origin_ms, left_ms = (
        (state.anchor.since_ms, left_to_hold_ms(state) or 0) if here else (start_ms, amount_ms)
    )
    before_a_tap = index + 1 < len(state.segments) and state.segments[index + 1].pace is Pace.self
    for after_ms, moment in pattern.moments(left_ms):
        if moment is HoldMoment.held and state.segments[index].id == state.attempt.segment_id:
            continue
        if moment is HoldMoment.held and goes_on_by_itself(state, index):
            yield cue(CueKind.change_side, origin_ms + after_ms, message("cue_change_sides"))
        elif moment is not HoldMoment.held or before_a_tap:
            yield cue(_HOLD[moment], origin_ms + after_ms, _HOLD_SAID[moment])
    return origin_ms + pattern.ends_after_ms(left_ms)


def _finished(at_ms: int) -> TimedCue:
    return cue(CueKind.session_done, at_ms, SESSION_DONE)


def _try_over(at_ms: int) -> TimedCue:
    return cue(CueKind.stop, at_ms, STOP)


def _start_cues(spoken: Spoken, index: int, start_ms: int) -> Iterator[TimedCue]:
    """The cue with which a segment starts, if its kind has one."""
    kind = _STARTS.get(spoken.state.segments[index].kind)
    if kind is not None:
        yield cue(kind, start_ms, *spoken.start(index))


def _inner_cues(spoken: Spoken, index: int, start_ms: int, length_ms: int) -> Iterator[TimedCue]:
    """The countdown of the last seconds, and the call to get down before floor work."""
    segment, end_ms = spoken.state.segments[index], start_ms + length_ms
    if segment.kind is not Kind.transition and length_ms >= SHORTEST_WITH_COUNTDOWN_MS:
        yield cue(CueKind.countdown, end_ms - COUNTDOWN_MS, COUNT)
    chosen = spoken.state.leads_to(index)
    if (
        segment.kind is Kind.rest
        and chosen is not None
        and chosen.on_floor
        and length_ms > GET_DOWN_BEFORE_MS
    ):
        yield cue(CueKind.get_down, end_ms - GET_DOWN_BEFORE_MS, *spoken.get_down(index))
