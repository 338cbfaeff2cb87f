"""The running session in words: what a segment is called, which round it is in, and what comes next."""

from __future__ import annotations

from companion.style.kinds import KIND_WORD
from companion.style.words import change_words, weight_words
from engine.base.units import LoadUnit, format_duration
from engine.live.loads import load_of
from engine.live.state import RunState
from engine.movements.movement import Side
from engine.session.segment import BETWEEN, Kind, Segment, ahead
from engine.today.easy_movement import HIGHEST_EFFORT
from engine.today.easy_movement import NAME as EASY_MOVEMENT


def title(run: RunState, segment: Segment) -> str:
    """“One-hand press, left”; without a movement the kind of the segment."""
    chosen = run.session.chosen(segment)
    return _with_side(chosen.name if chosen else KIND_WORD[segment.kind], segment.side)


def _with_side(name: str, side: Side | None) -> str:
    return f"{name}, {side}" if side in (Side.left, Side.right) else name


def heading(run: RunState, current: Segment) -> str:
    """“Row, left”: the movement and its side, or “Next: …” between two of them."""
    chosen = run.leads_to(run.index)
    if chosen is None:
        return KIND_WORD[current.kind]
    coming = ahead(run.segments, run.index)
    named = _with_side(chosen.name, coming.side if coming else None)
    return f"Next: {named}" if current.kind in BETWEEN else named


def weight_now(run: RunState, unit: LoadUnit) -> str:
    """“6 kg each”: what to lift now, or next between two movements; empty where nothing was told."""
    coming, chosen = ahead(run.segments, run.index), run.leads_to(run.index)
    if coming is None or chosen is None:
        return ""
    return weight_words(load_of(run, coming), chosen.dumbbells, unit)


def next_words(run: RunState) -> str:
    """What follows the current segment; empty between two movements, where the heading says it."""
    current, following = run.current, run.coming[0] if run.coming else None
    if current is None or following is None:
        return "Last one."
    if following.kind is Kind.side_change:
        return change_words(run.session.chosen(following), following.side)
    if current.kind in BETWEEN:
        return ""
    if following.kind in (Kind.work, Kind.practice):
        return f"Then {title(run, following)}"
    return f"Then {KIND_WORD[following.kind].lower()}"


def kind_word(run: RunState, segment: Segment) -> str:
    """What a segment is for; the work of easy movement is no work."""
    if run.session.easy_movement and segment.kind is Kind.work:
        return EASY_MOVEMENT
    return KIND_WORD[segment.kind]


def effort_words(run: RunState) -> str:
    """How hard easy movement may be; empty in a session."""
    return f"effort {HIGHEST_EFFORT} at most" if run.session.easy_movement else ""


def round_words(run: RunState, current: Segment) -> str:
    """“Round 2 of 4”; empty outside rounds."""
    return f"Round {current.round} of {_rounds(run, current)}" if current.round else ""


def kind_and_round(run: RunState, current: Segment) -> str:
    """“Warm-up 1 of 2”, or “Practice” if there is one round."""
    rounds = _rounds(run, current)
    return f"{KIND_WORD[current.kind]}{f' {current.round} of {rounds}' if rounds > 1 else ''}"


def _rounds(run: RunState, current: Segment) -> int:
    """The last round of the current block."""
    return max((segment.round or 0 for segment in run.segments if segment.block == current.block), default=0)


def away_words(gap_ms: int) -> str:
    """What happened while nobody was there; a negative gap is a clock that was set back."""
    length = format_duration(abs(gap_ms))
    if gap_ms < 0:
        return f"The clock of this device was set back by {length}. The session waited."
    return f"You were away for {length}. The session waited."
