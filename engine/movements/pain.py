"""Pain during a session: what is asked, and what the rules say to do. Never a diagnosis.

The limits are stricter than the published monitoring model, which was studied in tendons
(Thomeé 1997, Phys Ther 77:1690–1703, from memory; Silbernagel 2007, AJSM 35:897–906): joint pain is never
pushed through.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from engine.base.model import Model, Rating, Sentence
from engine.movements.movement import Joint, Side

SWAP_FROM = 3
"""Joint pain from which a movement is swapped and left out. † Our judgement, stricter than the source."""
END_FROM = 6
"""The published model stops the exercise above 5; here such pain ends the session."""


class PainKind(StrEnum):
    """What hurts: a muscle, a joint, or something that needs help at once."""

    muscle = "muscle"
    joint = "joint"
    warning_sign = "warning_sign"


class PainQuality(StrEnum):
    """A kind of joint pain that is serious, whatever its number."""

    sharp = "sharp"
    locking = "locking"
    giving_way = "giving_way"
    nerve_like = "nerve_like"


class PainNote(Model):
    """What a person says when something hurts; None stands for what was not said.

    ``session_ms`` is session time, ``movement`` the one that was being done, ``rating`` a number from 0 to
    10.
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
    """What the rules ask of the person, from the least to the most serious."""

    go_on = "go_on"
    retry_unloaded = "retry_unloaded"
    swap_and_leave_out = "swap_and_hold"
    end_session = "end_session"
    get_help = "get_help"


def advice(note: PainNote, *, retried: bool = False) -> Advice | None:
    """What a pain note asks for; None while it does not say enough.

    ``retried`` says that the person has already retried without a weight and with less range. Only 0 lets
    them go on then; any joint pain swaps the movement.
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
        return Advice.swap_and_leave_out
    if rating == 0:
        return Advice.go_on
    return Advice.swap_and_leave_out if retried else Advice.retry_unloaded


def hurt_before(note: PainNote, earlier: Iterable[PainNote]) -> bool:
    """Whether the movement of a note hurt earlier in the session, so that the person has already retried."""
    return any(one.movement == note.movement and one.rating for one in earlier)


def rating_to_spare(note: PainNote) -> int:
    """The pain that the rest of the session assumes for the joint, from 1 to 10.

    Sharp, locking, giving way or nerve-like pain counts as at least 3, whatever number was said.
    """
    return max(note.rating or 1, SWAP_FROM if note.qualities else 1)
