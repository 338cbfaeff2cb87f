"""What a running session already knows when something hurts: the movement, and which joints hurt before."""

from __future__ import annotations

from engine.live.state import RunState
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import PainNote, is_pain

MOST_RECENT = 2
"""So many joints that hurt lately are offered first. † Our judgement: more would be a list to read."""


def new_note(state: RunState, session_ms: int) -> PainNote:
    """A note that says nothing yet but when, and in which movement: in a rest, the one just done."""
    in_hand = state.in_hand
    return PainNote(
        session_ms=session_ms,
        segment_id=in_hand.id if in_hand else None,
        movement=in_hand.movement if in_hand else None,
    )


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
