"""What a running session already knows when something hurts: the movement, and which joints hurt before."""

from __future__ import annotations

from engine.live.state import RunState
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import PainNote, is_pain
from engine.session.segment import Kind, Segment, ahead

MOST_RECENT = 2
"""So many joints that hurt lately are offered first. † Our judgement: more would be a list to read."""


def new_note(state: RunState, session_ms: int) -> PainNote:
    """A note that says nothing yet but when, and in which movement: the likeliest of ``where_it_hurt``."""
    return PainNote(session_ms=session_ms, **in_segment(next(iter(where_it_hurt(state)), None)))


def in_segment(segment: Segment | None) -> dict[str, str | None]:
    """The fields of a note that say in which movement it hurt."""
    return {"segment_id": segment.id if segment else None, "movement": segment.movement if segment else None}


def where_it_hurt(state: RunState) -> tuple[Segment, ...]:
    """The segments of the movements in which it may have hurt, the likeliest first.

    Between two movements that is the one just left, then the one to come; in a lead-in the other way round.
    """
    left, coming = state.in_hand, ahead(state.segments, state.index)
    named = (coming, left) if state.current and state.current.kind is Kind.get_ready else (left, coming)
    by_movement = {one.movement: one for one in reversed(named) if one is not None}
    return tuple(dict.fromkeys(by_movement[one.movement] for one in named if one is not None))


def note_after_try(state: RunState, session_ms: int) -> PainNote:
    """The note that asks for the number at the end of the unloaded try: all else was said before it."""
    before, tried = state.pains[-1], state.done[-1].segment_id
    said = {"session_ms": session_ms, "segment_id": tried, "rating": None, "after_try": True}
    return before.model_copy(update=said)


def recent_joints(state: RunState) -> tuple[JointPoint, ...]:
    """The joints that hurt lately, the latest first: during this session, then as said before the start."""
    during = [(one.joint, one.side) for one in reversed(state.pains) if one.joint and is_pain(one)]
    before = [(one.joint, one.side) for one in state.session.room.sore]
    return tuple(dict.fromkeys((*during, *before)))[:MOST_RECENT]


def said_before(state: RunState, joint: Joint, side: Side | None) -> int | None:
    """The pain of a joint as said before the start; None where nothing was said of it."""
    said = [one.rating for one in state.session.room.sore if (one.joint, one.side) == (joint, side)]
    return max(said, default=None)
