"""The live session as a reducer: ``advance(state, event) -> state``.

Session time is in milliseconds of the monotonic clock since the start, pauses included; it never moves by the
wall clock. Clocked segments end by time alone, self-paced ones by an event. The position is always computed
from anchors, never counted down, so the state after an event does not depend on how often the clock was
looked at.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import AwareDatetime

from engine.events import (
    Ended,
    Ending,
    Event,
    HoldStarted,
    HoldStopped,
    Hurt,
    Mark,
    MoreRest,
    Paused,
    PositionLost,
    Redone,
    Refitted,
    Resumed,
    Returned,
    RunningRecord,
    Skipped,
    Started,
    Ticked,
    WentBack,
)
from engine.fitted import FittedSession
from engine.model import Model, Sentence
from engine.pain import PainNote
from engine.segment import BETWEEN, Chosen, Kind, Pace, Segment, are_one_interval


class Status(StrEnum):
    ready = "ready"
    running = "running"
    paused = "paused"
    ended = "ended"


class Outcome(StrEnum):
    done = "done"
    partly = "partly"
    skipped = "skipped"


class Done(Model):
    """What became of one segment; going back makes a second entry. Times in ms, ``worked_ms`` without
    pauses."""

    segment_id: str
    started_ms: int
    worked_ms: int
    outcome: Outcome


class LostPosition(Model):
    session_ms: int
    segment_id: str


class Change(Model):
    """A re-fit of what was to come, in the sentence the person saw."""

    session_ms: int
    said: Sentence


class RunState(Model):
    """Where a live session stands.

    ``elapsed_ms`` counts up to ``since_ms``; while time runs in the segment, the time since is added to it.
    ``extra_ms`` is rest added to the current segment. ``holding`` is true while a self-paced hold is timed;
    its time is banked in ``banked_ms``. ``segments`` are what is run, re-fits included; ``taken_out`` were
    begun before a re-fit took them out; ``before_refit`` is what the last re-fit changed, where it can be
    taken back. ``finish_at`` is a promise made anew on the way.
    """

    session: FittedSession
    segments: tuple[Segment, ...]
    taken_out: tuple[Segment, ...] = ()
    before_refit: tuple[Segment, ...] = ()
    status: Status = Status.ready
    index: int = 0
    entered_ms: int = 0
    since_ms: int = 0
    elapsed_ms: int = 0
    extra_ms: int = 0
    holding: bool = False
    banked_ms: int = 0
    at_ms: int = 0
    paused_ms: int = 0
    away_ms: int = 0
    done: tuple[Done, ...] = ()
    pains: tuple[PainNote, ...] = ()
    lost: tuple[LostPosition, ...] = ()
    changes: tuple[Change, ...] = ()
    finish_at: AwareDatetime | None = None
    finish_released: bool = False
    ending: Ending | None = None
    seq: int = 0

    @property
    def current(self) -> Segment | None:
        """The segment that is on, or None when the session is over."""
        return self.segments[self.index] if self.index < len(self.segments) else None

    @property
    def coming(self) -> tuple[Segment, ...]:
        return self.segments[self.index + 1 :]

    @property
    def by_id(self) -> dict[str, Segment]:
        """Every segment that was or will be run."""
        return {segment.id: segment for segment in (*self.taken_out, *self.segments)}

    @property
    def in_hand(self) -> Segment | None:
        """The segment of the movement the body is on: in a rest or a change of block, the one just left."""
        back = self.segments[: self.index + 1][::-1]
        return next((segment for segment in back if segment.kind not in BETWEEN), self.current)

    def leads_to(self, index: int) -> Chosen | None:
        """The movement of a segment; of a rest or a change of block, the one that follows."""
        onward = self.segments[index:]
        segment = next((s for s in onward if s.kind not in BETWEEN), None)
        return self.session.chosen(segment) if segment is not None else None

    @property
    def interval_start(self) -> int:
        """The index at which the interval that is on begins: the first of its sides."""
        index = self.index
        while index > 0 and are_one_interval(self.segments[index - 1], self.segments[self.index]):
            index -= 1
        return index

    @property
    def interval_end(self) -> int:
        """The index behind the interval that is on: both sides and the change between them."""
        current, index = self.segments[self.index], self.index + 1
        while index < len(self.segments) and are_one_interval(current, self.segments[index]):
            index += 1
        return index

    def elapsed_at(self, session_ms: int) -> int:
        """Time spent in the current segment at a moment not before the last event."""
        running = self.status is Status.running
        return self.elapsed_ms + (max(0, session_ms - self.since_ms) if running else 0)

    def banked_at(self, session_ms: int) -> int:
        """Time held in good position in the current segment."""
        running = self.holding and self.status is Status.running
        return self.banked_ms + (max(0, session_ms - self.since_ms) if running else 0)

    def remaining_at(self, session_ms: int) -> int:
        """Time left of the current segment; of a self-paced one, by its estimate, never below 0."""
        if self.current is None:
            return 0
        return max(0, self.current.planned_ms + self.extra_ms - self.elapsed_at(session_ms))

    def remaining_session_at(self, session_ms: int) -> int:
        """Time left of the whole session, self-paced parts by their estimates."""
        return self.remaining_at(session_ms) + sum(segment.planned_ms for segment in self.coming)


def begin(session: FittedSession) -> RunState:
    """The state before the start."""
    return RunState(session=session, segments=session.segments)


def replay(record: RunningRecord) -> RunState:
    """The state after every event of a running record: the same as while it ran."""
    state = begin(record.session)
    for event in record.events:
        state = advance(state, event)
    return state


def at(state: RunState, session_ms: int) -> RunState:
    """The state once the clock shows a moment: clocked segments that are over are done, nothing else
    changes."""
    if session_ms <= state.at_ms:
        return state
    if state.status is Status.running:
        while _over(state, session_ms):
            assert state.current is not None
            full_ms = state.current.planned_ms + state.extra_ms
            end_ms = state.since_ms + full_ms - state.elapsed_ms
            state = _leave(state, end_ms, full_ms, Outcome.done)
    return state.model_copy(update={"at_ms": session_ms})


def _over(state: RunState, session_ms: int) -> bool:
    current = state.current
    if current is None or current.pace is Pace.self or state.status is not Status.running:
        return False
    return state.elapsed_at(session_ms) >= current.planned_ms + state.extra_ms


def _leave(state: RunState, session_ms: int, worked_ms: int, outcome: Outcome) -> RunState:
    """Ends the current segment and enters the next; after the last one the session has finished."""
    assert state.current is not None
    done = Done(
        segment_id=state.current.id, started_ms=state.entered_ms, worked_ms=worked_ms, outcome=outcome
    )
    state = _enter(state, state.index + 1, session_ms).model_copy(update={"done": (*state.done, done)})
    if state.current is None:
        return state.model_copy(update={"status": Status.ended, "ending": Ending.finished})
    return state


def _broken_off(worked_ms: int) -> Outcome:
    """What is left before its end; passing through takes nothing from what was done before."""
    return Outcome.partly if worked_ms else Outcome.skipped


def _enter(state: RunState, index: int, session_ms: int) -> RunState:
    return state.model_copy(
        update={
            "index": index,
            "entered_ms": session_ms,
            "since_ms": session_ms,
            "elapsed_ms": 0,
            "extra_ms": 0,
            "holding": False,
            "banked_ms": 0,
        }
    )


def _settle(state: RunState) -> RunState:
    """Moves what has run so far into the counts, so that the anchor stands at the present."""
    now = state.at_ms
    return state.model_copy(
        update={
            "elapsed_ms": state.elapsed_at(now),
            "banked_ms": state.banked_at(now),
            "since_ms": now,
            "paused_ms": state.paused_ms + (now - state.since_ms if state.status is Status.paused else 0),
        }
    )


def advance(state: RunState, event: Event) -> RunState:
    """The state after an event. Events that make no sense where the session stands change nothing but the
    count.

    Raises ValueError when the event's number does not follow the last one.
    """
    if event.seq != state.seq + 1:
        raise ValueError(f"Event {event.seq} does not follow event {state.seq}.")
    state = at(state, max(event.session_ms, state.at_ms)).model_copy(update={"seq": event.seq})
    if state.status is Status.ended:
        return state
    return _apply(state, event)


def _apply(state: RunState, event: Event) -> RunState:
    match event:
        case Started():
            return _start(state)
        case Paused():
            return _pause(state)
        case Resumed():
            return _resume(state)
        case Returned():
            return _pause(state).model_copy(update={"away_ms": state.away_ms + event.away_ms})
        case Hurt():
            notes = {"pains": (*state.pains, event.pain), "finish_released": True}
            return _pause(state).model_copy(update=notes)
        case PositionLost():
            return _lose_position(state)
        case Ended():
            return _end(state, event.ending)
        case Refitted():
            return _refit(state, event)
        case Mark():
            return state
    if state.status is not Status.running or state.current is None:
        return state
    return _apply_running(state, event, state.current)


def _apply_running(state: RunState, event: Event, current: Segment) -> RunState:
    now = state.at_ms
    match event:
        case Ticked() if current.pace is Pace.self:
            return _leave(state, now, state.elapsed_at(now), Outcome.done)
        case HoldStarted() if current.pace is Pace.self:
            return _settle(state).model_copy(update={"holding": True})
        case HoldStopped():
            return _settle(state).model_copy(update={"holding": False})
        case Skipped():
            return _skip(state)
        case WentBack():
            return _go_to(state, max(0, state.index - 1))
        case Redone():
            return _go_to(state, state.interval_start)
        case MoreRest() if current.kind is Kind.rest:
            return state.model_copy(update={"extra_ms": state.extra_ms + event.added_ms})
    return state


def _start(state: RunState) -> RunState:
    if state.status is not Status.ready or state.current is None:
        return state
    return _enter(state, 0, state.at_ms).model_copy(update={"status": Status.running})


def _pause(state: RunState) -> RunState:
    if state.status is not Status.running:
        return state
    return _settle(state).model_copy(update={"status": Status.paused, "holding": False})


def _resume(state: RunState) -> RunState:
    if state.status is not Status.paused:
        return state
    return _settle(state).model_copy(update={"status": Status.running})


def _lose_position(state: RunState) -> RunState:
    """The count stops: a timed hold is banked, a clocked interval pauses."""
    if state.status is not Status.running or state.current is None:
        return state
    lost = (*state.lost, LostPosition(session_ms=state.at_ms, segment_id=state.current.id))
    stopped = _settle(state) if state.current.pace is Pace.self else _pause(state)
    return stopped.model_copy(update={"lost": lost, "holding": False})


def _refit(state: RunState, event: Refitted) -> RunState:
    """Replaces what is to come; nothing that is on or was done is lost."""
    if state.status is Status.ready or state.current is None:
        return state
    begun = {done.segment_id for done in state.done}
    kept = state.segments[: state.index + 1] + event.segments
    stays = {segment.id for segment in kept}
    gone = tuple(s for s in state.coming if s.id in begun and s.id not in stays)
    return state.model_copy(
        update={
            "segments": kept,
            "taken_out": state.taken_out + gone,
            "before_refit": state.segments if event.can_be_taken_back else (),
            "session": state.session.with_items((added.block, added.item) for added in event.items),
            "changes": (*state.changes, Change(session_ms=state.at_ms, said=event.said)),
            "finish_at": event.finish_at or state.finish_at,
        }
    )


def _end(state: RunState, ending: Ending) -> RunState:
    if state.current is not None and state.status is not Status.ready:
        worked_ms = state.elapsed_at(state.at_ms)
        settled = _settle(state)
        state = _leave(settled, state.at_ms, worked_ms, _broken_off(worked_ms))
    return state.model_copy(update={"status": Status.ended, "ending": ending, "holding": False})


def _go_to(state: RunState, index: int) -> RunState:
    """Leaves the current segment where it is and enters another of the same session."""
    now = state.at_ms
    worked_ms = state.elapsed_at(now)
    left = _leave(state, now, worked_ms, _broken_off(worked_ms))
    return _enter(left, index, now).model_copy(update={"status": Status.running, "ending": None})


def _skip(state: RunState) -> RunState:
    """Skips what is on; on the first side of a movement the other side goes with it, so that sides stay
    equal."""
    target = state.interval_end
    while state.index < target:
        worked_ms = state.elapsed_at(state.at_ms)
        state = _leave(state, state.at_ms, worked_ms, _broken_off(worked_ms))
    return state
