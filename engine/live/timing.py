"""The times of a running session at a moment: run, held and left, all computed from the state's anchor.

Moments and lengths are milliseconds of session time. A moment never lies before the state's last event.
"""

from __future__ import annotations

from engine.live.state import RunState, Status
from engine.session.segment import Pace, Segment, in_same_place
from engine.session.timed_hold import ONE_PIECE, HoldPattern, amount_to_hold_ms, hold_pattern_of


def elapsed_at(state: RunState, session_ms: int) -> int:
    """The time spent in the current segment, without pauses."""
    running = state.status is Status.running
    return state.anchor.elapsed_ms + (max(0, session_ms - state.anchor.since_ms) if running else 0)


def remaining_at(state: RunState, session_ms: int) -> int:
    """The time left of the current segment; of a self-paced one, by its estimate. Never below 0."""
    if state.current is None:
        return 0
    return max(0, state.current.planned_ms + state.anchor.extra_ms - elapsed_at(state, session_ms))


def remaining_session_at(state: RunState, session_ms: int) -> int:
    """The time left of the whole session, self-paced parts by their estimates."""
    coming_ms = sum(segment.planned_ms for segment in state.coming)
    return lead_in_at(state, session_ms) + remaining_at(state, session_ms) + coming_ms


def lead_in_at(state: RunState, session_ms: int) -> int:
    """What is left of the lead-in after a pause; 0 where there is none."""
    anchor = state.anchor
    leads = state.status is Status.running and anchor.back_ms is not None
    return max(0, anchor.since_ms - session_ms) if leads else 0


def paused_at(state: RunState, session_ms: int) -> int:
    """The time paused until then, lead-ins after a pause included: nothing is worked in them."""
    anchor = state.anchor
    if state.status is Status.paused:
        return state.paused_ms + max(0, session_ms - anchor.since_ms)
    if anchor.back_ms is None:
        return state.paused_ms
    lead_in_from_ms = max(anchor.back_ms, anchor.entered_ms)  # what was led in elsewhere is counted there
    return state.paused_ms + max(0, min(session_ms, anchor.since_ms) - lead_in_from_ms)


def ends_at_ms(state: RunState) -> int | None:
    """The moment at which the current segment ends by time alone; None where it waits for the person."""
    anchor = state.anchor
    if state.current is None or state.status is not Status.running:
        return None
    if state.current.pace is Pace.clock:
        return anchor.since_ms + state.current.planned_ms + anchor.extra_ms - anchor.elapsed_ms
    left_ms = left_to_hold_ms(state) if state.hold.running else None
    return None if left_ms is None else anchor.since_ms + hold_pattern(state).ends_after_ms(left_ms)


def held_at(state: RunState, session_ms: int) -> int:
    """The time held in good position in the current segment."""
    if not state.hold.running or state.status is not Status.running:
        return state.hold.banked_ms
    since_ms, left_ms = max(0, session_ms - state.anchor.since_ms), left_to_hold_ms(state)
    now_ms = since_ms if left_ms is None else hold_pattern(state).held_ms(since_ms, left_ms)
    return state.hold.banked_ms + now_ms


def left_to_hold_ms(state: RunState) -> int | None:
    """What was left to hold of the amount at the last event; None where the amount is not in seconds."""
    amount_ms = amount_to_hold_ms(state.session.item(state.current)) if state.current is not None else None
    return None if amount_ms is None else max(0, amount_ms - state.hold.banked_ms)


def hold_pattern(state: RunState) -> HoldPattern:
    """How the hold of the current segment runs."""
    current = state.current
    return ONE_PIECE if current is None else hold_pattern_in(state, current, state.hold.other_side)


def hold_pattern_in(state: RunState, segment: Segment, other_side: bool) -> HoldPattern:
    """How the hold of a segment runs; once its position was lost in this session, in the shortest pieces."""
    item = state.session.item(segment)
    if item is None:
        return ONE_PIECE
    lost = {state.by_id[one.segment_id].movement for one in state.lost if one.segment_id in state.by_id}
    return hold_pattern_of(item, other_side=other_side, lost=segment.movement in lost)


def goes_on_by_itself(state: RunState, index: int) -> bool:
    """Whether the hold of a segment leads to the same hold on the other side without a tap, because the hands
    are not free."""
    if index + 1 >= len(state.segments):
        return False
    one, other = state.segments[index], state.segments[index + 1]
    item = state.session.item(one)
    same = one.kind is other.kind and in_same_place(one, other)
    return same and amount_to_hold_ms(item) is not None and item is not None and item.chosen.hands_bear
