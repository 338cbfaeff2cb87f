"""Pain during a session: what is asked, and what the rules say to do. Never a diagnosis.

The limits are stricter than the published monitoring model, which was studied in tendons
(Thomeé 1997, Phys Ther 77:1690–1703, from memory; Silbernagel 2007, AJSM 35:897–906): joint pain is never
pushed through.
"""

from __future__ import annotations

from enum import StrEnum

from engine.model import Model, Rating, Sentence
from engine.movement import Joint, Side

SWAP_FROM = 3
"""Joint pain from which the movement is swapped and held. † Our judgement, stricter than the source."""
END_FROM = 6
"""Pain above 5 stops in the published model; here it ends the session."""


class PainKind(StrEnum):
    muscle = "muscle"
    joint = "joint"
    warning_sign = "warning_sign"


class PainQuality(StrEnum):
    """What makes joint pain serious whatever its number."""

    sharp = "sharp"
    locking = "locking"
    giving_way = "giving_way"
    nerve_like = "nerve_like"


class PainNote(Model):
    """Asked each time: joint or muscle, where, and a number from 0 to 10. ``session_ms`` is session time."""

    session_ms: int
    segment_id: str | None = None
    movement: str | None = None
    kind: PainKind
    joint: Joint | None = None
    side: Side | None = None
    rating: Rating = 0
    qualities: tuple[PainQuality, ...] = ()
    words: Sentence | None = None


class Advice(StrEnum):
    """What the rules say, from least to most."""

    go_on = "go_on"
    retry_unloaded = "retry_unloaded"
    swap_and_hold = "swap_and_hold"
    end_session = "end_session"
    get_help = "get_help"


def advice(note: PainNote, *, retried: bool = False) -> Advice:
    """What a pain note asks for. ``retried`` is true where the unloaded, shorter retry was already made.

    A retry is good only at 0: any joint pain after it swaps the movement.
    """
    if note.kind is PainKind.warning_sign:
        return Advice.get_help
    if note.rating >= END_FROM:
        return Advice.end_session
    if note.kind is PainKind.muscle or (note.rating == 0 and not note.qualities):
        return Advice.go_on
    if note.rating >= SWAP_FROM or note.qualities or retried:
        return Advice.swap_and_hold
    return Advice.retry_unloaded
