"""The running session in words: what a segment is called, which round it is in, and what comes next."""

from __future__ import annotations

from companion.style.kinds import KIND_WORD
from companion.style.words import change_words, weight_words
from companion.words.saying import msgid, own, say
from engine.base.units import LoadUnit, format_duration
from engine.live.loads import load_of
from engine.live.state import RunState
from engine.movements.movement import Side
from engine.session.segment import BETWEEN, Kind, Segment, ahead
from engine.today.easy_movement import HIGHEST_EFFORT

THEN = {
    Kind.get_ready: msgid("Then: get ready"),
    Kind.warm_up: msgid("Then: warm-up"),
    Kind.rest: msgid("Then: rest"),
    Kind.transition: msgid("Then: changeover"),
    Kind.cool_down: msgid("Then: cool-down"),
}
"""What follows the current segment, where it is no movement."""
SIDED = {Side.left: msgid("{movement}, left"), Side.right: msgid("{movement}, right")}


def title(run: RunState, segment: Segment) -> str:
    """“One-hand press, left”; without a movement the kind of the segment."""
    chosen = run.session.chosen(segment)
    return _with_side(own(chosen.name) if chosen else say(KIND_WORD[segment.kind]), segment.side)


def _with_side(name: str, side: Side | None) -> str:
    pattern = SIDED.get(side) if side else None
    return say(pattern, movement=name) if pattern else name


def heading(run: RunState, current: Segment) -> str:
    """“Row, left”: the movement and its side, or “Next: …” between two of them."""
    chosen = run.leads_to(run.index)
    if chosen is None:
        return say(KIND_WORD[current.kind])
    coming = ahead(run.segments, run.index)
    named = _with_side(own(chosen.name), coming.side if coming else None)
    return say("Next: {movement}", movement=named) if current.kind in BETWEEN else named


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
        return say("Last one.")
    if following.kind is Kind.side_change:
        return change_words(run.session.chosen(following), following.side)
    if current.kind in BETWEEN:
        return ""
    if following.kind in (Kind.work, Kind.practice):
        return say("Then: {movement}", movement=title(run, following))
    return say(THEN[following.kind])


def kind_word(run: RunState, segment: Segment) -> str:
    """What a segment is for; the work of easy movement is no work."""
    if run.session.easy_movement and segment.kind is Kind.work:
        return say("Easy movement")
    return say(KIND_WORD[segment.kind])


def effort_words(run: RunState) -> str:
    """How hard easy movement may be; empty in a session."""
    if not run.session.easy_movement:
        return ""
    return say("effort {most} of 10 at most", most=HIGHEST_EFFORT)


def round_words(run: RunState, current: Segment) -> str:
    """“Round 2 of 4”; empty outside rounds."""
    if not current.round:
        return ""
    return say("Round {number} of {rounds}", number=current.round, rounds=_rounds(run, current))


def kind_and_round(run: RunState, current: Segment) -> str:
    """“Warm-up 1 of 2”, or “Practice” if there is one round."""
    rounds, part = _rounds(run, current), say(KIND_WORD[current.kind])
    if rounds < 2 or current.round is None:
        return part
    return say("{part} {number} of {rounds}", part=part, number=current.round, rounds=rounds)


def _rounds(run: RunState, current: Segment) -> int:
    """The last round of the current block."""
    return max((segment.round or 0 for segment in run.segments if segment.block == current.block), default=0)


def away_words(gap_ms: int) -> str:
    """What happened while nobody was there; a negative gap is a clock that was set back."""
    length = format_duration(abs(gap_ms))
    if gap_ms < 0:
        return say("The clock of this device was set back by {length}. The session waited.", length=length)
    return say("You were away for {length}. The session waited.", length=length)
