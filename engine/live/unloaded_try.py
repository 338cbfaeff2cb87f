"""The unloaded try after dull pain in a joint: a step of its own, without weight, and a number at its end.

It is what is left of the interval in which it hurt; where that is over, the next one of the same movement.
Both sides go without weight then, so that they stay equal. The number is asked at the end of the side that is
tried.
"""

from __future__ import annotations

from engine.live.state import RunState, Status
from engine.session.segment import BETWEEN, Kind, Segment, are_one_interval


def begin_try(state: RunState) -> RunState:
    """The paused state with the try ahead of it; without one where the movement does not come again."""
    tried = _to_try(state)
    if state.status is not Status.paused or not tried:
        return state
    unloaded = (*state.attempt.unloaded, *(segment.id for segment in tried))
    return with_attempt(state, segment_id=tried[0].id, unloaded=unloaded)


def asking(state: RunState) -> RunState:
    """The state after the tried segment was left: it waits, paused, for the number."""
    status = state.status if state.status is Status.ended else Status.paused
    asked = with_attempt(state, segment_id=None, asks_number=True)
    return asked.model_copy(update={"status": status})


def with_attempt(state: RunState, **changes: object) -> RunState:
    return state.model_copy(update={"attempt": state.attempt.model_copy(update=changes)})


def _to_try(state: RunState) -> tuple[Segment, ...]:
    """The working segments of the interval to try, the current one first if it is of the movement."""
    hurt = state.pains[-1].movement if state.pains else None
    ahead = state.segments[state.index :]
    of_it = [one for one in ahead if one.movement == hurt and one.kind not in BETWEEN | {Kind.side_change}]
    return tuple(one for one in of_it if one == of_it[0] or are_one_interval(of_it[0], one))
