"""The lead-in with which a person comes back from a pause, so that nobody begins while they pick up a weight.

What was worked before the pause stays, and the rest of the interval follows after the lead-in: a side that
was cut short gets its full time, no more and no less than the other one. A rest, a lead-in or a change of
sides that is nearly over is lengthened instead. After a long pause there is time for a few light repetitions
first.
"""

from __future__ import annotations

from engine.live.state import RunState, Status
from engine.live.timing import elapsed_at, hold_pattern
from engine.session.segment import BETWEEN, Kind, Pace, ahead

LEAD_IN_MS = 10_000
"""From the return to the work. † Our judgement, no source."""
LONG_PAUSE_MS = 600_000
"""From such a pause on, 3 to 5 light repetitions come first. † Our judgement, no source."""
LIGHT_FIRST_MS = 20_000
"""Time for 3 to 5 light repetitions, before the lead-in. † Our judgement, no source."""


def paused_long(state: RunState, session_ms: int) -> bool:
    """Whether the pause was so long by then that light repetitions come first; the time away counts."""
    pause_ms = session_ms - state.anchor.since_ms + state.anchor.away_ms
    return state.status is Status.paused and pause_ms >= LONG_PAUSE_MS


def with_lead_in(state: RunState, back_ms: int, *, light_first: bool) -> RunState:
    """The running state with a lead-in that began with the return at ``back_ms``.

    Its anchor has to be at the present. A self-paced item without a hold needs none: the person begins it.
    """
    current, anchor = state.current, state.anchor
    if current is None or state.status is not Status.running:
        return state
    ready_ms = back_ms + LEAD_IN_MS + (LIGHT_FIRST_MS if light_first else 0)
    back = {"back_ms": back_ms, "light_first": light_first}
    if current.kind in BETWEEN or current.kind is Kind.side_change:
        if not _leads_to_the_clock(state):
            return state
        left_ms = current.planned_ms + anchor.extra_ms - elapsed_at(state, state.at_ms)
        back["extra_ms"] = anchor.extra_ms + max(0, ready_ms - state.at_ms - left_ms)
    elif current.pace is Pace.clock:
        back["since_ms"] = max(state.at_ms, ready_ms)
    elif state.hold.running:
        back["since_ms"] = max(state.at_ms, ready_ms - hold_pattern(state).lead_ms)
    else:
        return state
    return state.model_copy(update={"anchor": anchor.model_copy(update=back)})


def carried(before: RunState, after: RunState) -> RunState:
    """``after``, with what is left of the lead-in that ran ``before``: whoever comes back from a pause and
    goes elsewhere at once has to get ready there too."""
    back_ms, now = before.anchor.back_ms, after.at_ms
    if back_ms is None or now - back_ms >= LEAD_IN_MS:
        return after
    return with_lead_in(after, back_ms, light_first=before.anchor.light_first)


def _leads_to_the_clock(state: RunState) -> bool:
    """Whether the clock begins what comes next."""
    after = ahead(state.segments, state.index + 1)
    return after is not None and after.pace is Pace.clock
