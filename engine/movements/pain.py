"""Pain during a session: what is asked, and what the rules say to do. Never a diagnosis.

The limits are stricter than the published monitoring model, which was studied in tendons
(Thomeé 1997, Phys Ther 77:1690–1703, from memory; Silbernagel 2007, AJSM 35:897–906): joint pain is never
pushed through.
"""

from __future__ import annotations

from enum import StrEnum

from engine.base.model import Model, Rating, Sentence
from engine.movements.movement import Joint, Side

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
    """Asked each time: joint or muscle, where, and a number from 0 to 10; None is not said.

    ``session_ms`` is session time; ``movement`` the one in hand.
    """

    session_ms: int
    segment_id: str | None = None
    movement: str | None = None
    kind: PainKind | None = None
    joint: Joint | None = None
    side: Side | None = None
    rating: Rating | None = None
    qualities: tuple[PainQuality, ...] = ()
    words: Sentence | None = None


class Advice(StrEnum):
    """What the rules say, from least to most."""

    go_on = "go_on"
    retry_unloaded = "retry_unloaded"
    swap_and_hold = "swap_and_hold"
    end_session = "end_session"
    get_help = "get_help"


def advice(note: PainNote, *, retried: bool = False) -> Advice | None:
    """What a pain note asks for, or None while it does not say enough to go on.

    ``retried`` is true where the unloaded, shorter retry was already made: it is good only at 0, any joint
    pain after it swaps the movement.
    """
    rating = note.rating
    if note.kind is PainKind.warning_sign:
        return Advice.get_help
    if rating is not None and rating >= END_FROM:
        return Advice.end_session
    if note.kind is None or rating is None:
        return None
    if note.kind is PainKind.muscle:
        return Advice.go_on
    return _joint_advice(note, rating, retried=retried)


def _joint_advice(note: PainNote, rating: int, *, retried: bool) -> Advice | None:
    if note.joint is None:
        return None
    if rating >= SWAP_FROM or note.qualities:
        return Advice.swap_and_hold
    if rating == 0:
        return Advice.go_on
    return Advice.swap_and_hold if retried else Advice.retry_unloaded


def rating_to_spare(note: PainNote) -> int:
    """The number by which the rest of the session spares the joint: sharp, locking, giving way or nerve-like
    pain counts as 3 at least, whatever was said."""
    return max(note.rating or 1, SWAP_FROM if note.qualities else 1)
