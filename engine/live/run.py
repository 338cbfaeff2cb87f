"""The live session as a reducer: ``advance(state, event) -> state``.

Session time is in milliseconds of the monotonic clock since the start, pauses included; the wall clock never
moves it. Clocked segments end by time alone, self-paced ones by an event. The position is computed from an
anchor and never counted down, so the state after an event does not depend on how often anybody looked at the
clock.
"""

from __future__ import annotations

from engine.live.events import (
    Ended,
    Ending,
    Event,
    FormSlipped,
    HoldStarted,
    HoldStopped,
    Hurt,
    LoadFound,
    MoreRest,
    Paused,
    Redone,
    Refitted,
    Reopened,
    Resumed,
    Returned,
    RunningRecord,
    Skipped,
    Started,
    Telling,
    Ticked,
    TryStarted,
    WentBack,
)
from engine.live.lead_in import carried, paused_long, with_lead_in
from engine.live.loads import a_joint_hurt, lifted_with, with_load_found
from engine.live.state import Anchor, Change, Done, Hold, LostPosition, Outcome, RunState, Status
from engine.live.timing import (
    elapsed_at,
    ends_at_ms,
    goes_on_by_itself,
    held_at,
    hold_pattern,
    paused_at,
)
from engine.live.unloaded_try import asking, begin_try, with_attempt
from engine.movements.pain import PainNote
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Pace, Segment


def begin(session: FittedSession) -> RunState:
    """The state before the start."""
    return RunState(session=session, segments=session.segments)


def replay(record: RunningRecord) -> RunState:
    """The state after every event of a running record: the same as when it ran."""
    state = begin(record.session)
    for event in record.events:
        state = advance(state, event)
    return state


def at(state: RunState, session_ms: int) -> RunState:
    """The state at a moment: segments that end by time alone by then are done, and nothing else changes.

    A moment before the state's own changes nothing.
    """
    if session_ms <= state.at_ms:
        return state
    while (end_ms := ends_at_ms(state)) is not None and end_ms <= session_ms:
        goes_on = state.current is not None and state.current.pace is Pace.self
        goes_on = goes_on and goes_on_by_itself(state, state.index)
        state = _leave(state, end_ms, elapsed_at(state, end_ms), Outcome.done)
        if goes_on and state.attempt.asks_number:
            state = _with_hold(state, waits=True)
        elif goes_on:
            state = state.model_copy(update={"hold": Hold(running=True, other_side=True)})
    return state.model_copy(update={"at_ms": session_ms})


def _leave(state: RunState, session_ms: int, worked_ms: int, outcome: Outcome) -> RunState:
    """Ends the current segment and enters the next; after the last one the session has finished."""
    assert state.current is not None
    done = Done(
        segment_id=state.current.id, started_ms=state.anchor.entered_ms, worked_ms=worked_ms, outcome=outcome
    )
    settled = {"done": (*state.done, done), "paused_ms": paused_at(state, session_ms)}
    settled["lifted_g"] = lifted_with(state, state.current)
    state = _enter(state, state.index + 1, session_ms).model_copy(update=settled)
    if state.current is None:
        state = state.model_copy(update={"status": Status.ended, "ending": Ending.finished})
    return asking(state) if state.attempt.segment_id == done.segment_id else state


def _outcome_of_leaving(worked_ms: int) -> Outcome:
    """The outcome of a segment left before its end: partly done, or skipped where no time was spent in it."""
    return Outcome.partly if worked_ms else Outcome.skipped


def _enter(state: RunState, index: int, session_ms: int) -> RunState:
    anchor = Anchor(entered_ms=session_ms, since_ms=session_ms)
    return state.model_copy(update={"index": index, "anchor": anchor, "hold": Hold()})


def _move_anchor(state: RunState) -> RunState:
    """Moves the anchor to the present, with the time that has run and been held so far."""
    now, anchor = state.at_ms, state.anchor
    settled = {"since_ms": now, "elapsed_ms": elapsed_at(state, now), "back_ms": None, "away_ms": 0}
    return state.model_copy(
        update={
            "anchor": anchor.model_copy(update=settled),
            "hold": state.hold.model_copy(update={"banked_ms": held_at(state, now)}),
            "paused_ms": paused_at(state, now),
        }
    )


def _with_hold(state: RunState, **changes: object) -> RunState:
    return state.model_copy(update={"hold": state.hold.model_copy(update=changes)})


def advance(state: RunState, event: Event) -> RunState:
    """The state after an event. An event that makes no sense now changes nothing but the count.

    Raises ValueError when the event's number does not follow the last one.
    """
    if event.seq != state.seq + 1:
        raise ValueError(f"Event {event.seq} does not follow event {state.seq}.")
    state = at(state, max(event.session_ms, state.at_ms)).model_copy(update={"seq": event.seq})
    if state.status is Status.ended:
        return _apply_ended(state, event)
    return _apply(state, event)


def _apply_ended(state: RunState, event: Event) -> RunState:
    match event:
        case Telling() | Hurt() if state.attempt.asks_number:
            return _tell(state, event)
        case Reopened():
            return _reopen(state)
    return state


def _apply(state: RunState, event: Event) -> RunState:
    match event:
        case Started():
            return _start(state)
        case Paused():
            return _pause(state)
        case Resumed():
            return _resume(state)
        case Returned():
            return _come_back(state, event.away_ms)
        case Telling() | Hurt():
            return _tell(_pause(state), event)
        case TryStarted():
            return _resume(begin_try(state))
        case LoadFound():
            return with_load_found(state, event)
        case FormSlipped():
            return _slip(state)
        case Ended():
            return _end(state, event.ending)
        case Refitted():
            return _replace_coming(state, event)
    if state.status is not Status.running or state.current is None:
        return state
    return _apply_running(state, event, state.current)


def _apply_running(state: RunState, event: Event, current: Segment) -> RunState:
    now = state.at_ms
    match event:
        case Ticked() if current.pace is Pace.self:
            return _leave(state, now, elapsed_at(state, now), Outcome.done)
        case HoldStarted() if current.pace is Pace.self:
            return _with_hold(_leave_hold(state), running=True)
        case HoldStopped():
            return _leave_hold(state)
        case Skipped():
            return _skip_interval(state)
        case WentBack():
            return _go_to(state, max(0, state.index - 1))
        case Redone():
            return _go_to(state, state.interval.start)
        case MoreRest() if current.kind is Kind.rest:
            extra_ms = state.anchor.extra_ms + event.added_ms
            return state.model_copy(update={"anchor": state.anchor.model_copy(update={"extra_ms": extra_ms})})
    return state


def _tell(state: RunState, event: Telling | Hurt) -> RunState:
    if isinstance(event, Telling):
        return state.model_copy(update={"telling": event.pain})
    return _with_pain(state, event.pain)


def _with_pain(state: RunState, pain: PainNote) -> RunState:
    """Keeps what hurt; the promised finish is kept no longer."""
    told = {"pains": (*state.pains, pain), "telling": None, "finish_released": True}
    return with_attempt(state, asks_number=False).model_copy(update=told)


def _leave_hold(state: RunState) -> RunState:
    """Moves the anchor and stops a running hold; a piece that was broken off is kept."""
    moved = _move_anchor(state)
    if not state.hold.running:
        return moved
    piece_ms = hold_pattern(state).piece_now_ms(state.at_ms - state.anchor.since_ms)
    broken_ms = state.hold.broken_ms if piece_ms is None else (*state.hold.broken_ms, piece_ms)
    return _with_hold(moved, running=False, other_side=False, broken_ms=broken_ms)


def _start(state: RunState) -> RunState:
    if state.status is not Status.ready or state.current is None:
        return state
    return _enter(state, 0, state.at_ms).model_copy(update={"status": Status.running})


def _pause(state: RunState) -> RunState:
    if state.status is not Status.running:
        return state
    left = _with_hold(_leave_hold(state), waits=state.hold.running)
    return left.model_copy(update={"status": Status.paused})


def _come_back(state: RunState, away_ms: int) -> RunState:
    """Waits, paused, after the process was gone."""
    paused = _pause(state)
    anchor = paused.anchor.model_copy(update={"away_ms": paused.anchor.away_ms + away_ms})
    return paused.model_copy(update={"away_ms": paused.away_ms + away_ms, "anchor": anchor})


def _resume(state: RunState) -> RunState:
    """Goes on after a lead-in, once nothing is left to say of what hurts; a hold that the pause stopped goes
    on by itself."""
    if state.status is not Status.paused or state.attempt.asks_number or state.telling is not None:
        return state
    light_first = paused_long(state, state.at_ms)
    on = _move_anchor(state).model_copy(update={"status": Status.running})
    on = _with_hold(on, running=on.hold.waits, waits=False)
    return with_lead_in(on, state.at_ms, light_first=light_first)


def _slip(state: RunState) -> RunState:
    """Stops the count: a timed hold is banked, a clocked interval pauses. In a rest it is about the interval
    just left."""
    if state.status is not Status.running or state.current is None or state.in_hand is None:
        return state
    lost = (*state.lost, LostPosition(session_ms=state.at_ms, segment_id=state.in_hand.id))
    stopped = _leave_hold(state) if state.current.pace is Pace.self else _pause(state)
    return stopped.model_copy(update={"lost": lost})


def _replace_coming(state: RunState, event: Refitted) -> RunState:
    """Replaces the coming segments; the current one and what was done stay.

    Where the clock entered a segment after the re-fit was worked out, that one does not come again.
    """
    if state.status is Status.ready or state.current is None:
        return state
    begun = {done.segment_id for done in state.done}
    on = state.segments[: state.index + 1]
    kept = on + tuple(s for s in event.segments if s.id not in {segment.id for segment in on})
    stays = {segment.id for segment in kept}
    gone = tuple(s for s in state.coming if s.id in begun and s.id not in stays)
    entered = tuple(added.item.chosen.movement for added in event.items if a_joint_hurt(state))
    return state.model_copy(
        update={
            "segments": kept,
            "taken_out": state.taken_out + gone,
            "before_refit": state.segments if event.can_be_taken_back else (),
            "session": state.session.with_items((added.block, added.item) for added in event.items),
            "changes": (*state.changes, Change(session_ms=state.at_ms, said=event.said)),
            "finish_at": event.finish_at or state.finish_at,
            "attempt": state.attempt.model_copy(update={"entered": state.attempt.entered + entered}),
        }
    )


def _end(state: RunState, ending: Ending) -> RunState:
    """Ends the session. What was said of a pain until then stays said."""
    if state.telling is not None:
        state = _with_pain(state, state.telling)
    if state.current is not None and state.status is not Status.ready:
        worked_ms = elapsed_at(state, state.at_ms)
        moved = _move_anchor(state)
        state = _leave(moved, state.at_ms, worked_ms, _outcome_of_leaving(worked_ms))
    over = with_attempt(_with_hold(state, running=False), segment_id=None, asks_number=False)
    return over.model_copy(update={"status": Status.ended, "ending": ending})


def _reopen(state: RunState) -> RunState:
    """Goes back to the beginning of the segment that was ended early; the time since then was a pause."""
    if state.ending is not Ending.early or state.index == 0:
        return state
    now = state.at_ms
    paused_ms = state.paused_ms + (now - state.anchor.entered_ms)
    changes = {"status": Status.paused, "ending": None, "paused_ms": paused_ms}
    return _enter(state, state.index - 1, now).model_copy(update=changes)


def _go_to(state: RunState, index: int) -> RunState:
    """Leaves the current segment and enters another of the session."""
    now = state.at_ms
    worked_ms = elapsed_at(state, now)
    left = _leave(state, now, worked_ms, _outcome_of_leaving(worked_ms))
    goes_on = {"status": Status.running, "ending": None, "attempt": state.attempt}
    return carried(state, _enter(left, index, now).model_copy(update=goes_on))


def _skip_interval(state: RunState) -> RunState:
    """Skips the rest of the interval: on the first side of a movement the other side goes with it, so that
    sides stay equal."""
    target, before = state.interval.stop, state
    while state.index < target:
        worked_ms = elapsed_at(state, state.at_ms)
        state = _leave(state, state.at_ms, worked_ms, _outcome_of_leaving(worked_ms))
    return carried(before, state)
