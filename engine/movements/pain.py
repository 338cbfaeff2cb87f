"""Pain during a session: what is asked, and what the rules say to do. Never a diagnosis.

The limits are stricter than the published monitoring model, which was studied in tendons
(Thomeé 1997, Phys Ther 77:1690–1703, from memory; Silbernagel 2007, AJSM 35:897–906): joint pain is never
pushed through.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from engine.base.model import Model, Rating, Sentence, Slug
from engine.movements.movement import Joint, Side

SWAP_FROM = 3
"""Joint pain from which a movement is swapped and left out. † Our judgement, stricter than the source."""
END_FROM = 6
"""The published model stops the exercise above 5; here such pain in a joint ends the session."""
EASE_FROM = 3
"""Dull pain in a muscle from which there is less weight or less range. The published model accepts 3 to 5
under conditions that nobody can check during a set, so it is eased. † Our judgement."""
STOP_MUSCLE_FROM = 6
"""The published model stops the exercise above 5: dull pain in a muscle stops the movement."""
EFFORT_GONE_WITHIN_S = 60
"""Burning in a muscle that is gone this soon after stopping is effort. † Our judgement, no source."""
MOST_SAID_BEFORE = 2
"""The highest pain of a joint, said before the start, that the unloaded try may come back to. † Our
judgement, no source."""


class PainKind(StrEnum):
    """What hurts: a muscle, a joint, or something that needs help at once."""

    muscle = "muscle"
    joint = "joint"
    warning_sign = "warning_sign"


class PainQuality(StrEnum):
    """A sign that stops a movement whatever the number, in a muscle as in a joint."""

    sharp = "sharp"
    sudden = "sudden"
    snap = "snap"
    giving_way = "giving_way"
    locking = "locking"
    nerve_like = "nerve_like"


SIGNS_OF_INJURY = frozenset(
    (PainQuality.snap, PainQuality.giving_way, PainQuality.locking, PainQuality.nerve_like)
)
"""What a doctor or a physiotherapist should look at before the joint is loaded again."""


class PainNote(Model):
    """What a person says when something hurts; None stands for what was not said.

    ``session_ms`` is session time, ``movement`` the one that was being done, ``rating`` a number from 0 to
    10. ``joint`` and ``side`` say where; of a muscle they name the nearest joint. ``gone_after_s`` is how
    long after stopping the burning of a muscle was gone. ``said_before`` is the pain of this joint said
    before the start. ``after_try`` marks the number asked at the end of the unloaded try.
    """

    session_ms: int
    segment_id: str | None = None
    movement: Slug | None = None
    kind: PainKind | None = None
    joint: Joint | None = None
    side: Side | None = None
    rating: Rating | None = None
    qualities: tuple[PainQuality, ...] = ()
    gone_after_s: Annotated[int, Field(ge=0, le=86_400)] | None = None
    said_before: Rating | None = None
    after_try: bool = False
    words: Sentence | None = None


class Advice(StrEnum):
    """What the rules ask of the person, from the least to the most serious."""

    go_on = "go_on"
    ease = "ease"
    retry_unloaded = "retry_unloaded"
    stop_movement = "stop_movement"
    swap_and_leave_out = "swap_and_leave_out"
    end_session = "end_session"
    get_help = "get_help"


GOES_ON = frozenset((Advice.go_on, Advice.ease, Advice.retry_unloaded))
"""The advice that lets the person take the movement up again."""


class PainQuestion(StrEnum):
    """What is asked about pain, one after the other."""

    where = "where"
    signs = "signs"
    number = "number"


def next_question(note: PainNote, *, unrated: bool = False) -> PainQuestion | None:
    """What is asked next; None where the rules have enough for their answer.

    ``unrated`` says that the person gives no number. Only a sign needs none: it stops the movement anyway.
    """
    if note.kind is PainKind.warning_sign:
        return None
    if note.joint is None:
        return PainQuestion.where
    if note.kind is None:
        return PainQuestion.signs
    told = note.rating is not None or note.gone_after_s is not None
    return None if told or (unrated and note.qualities) else PainQuestion.number


def counts_as_joint(note: PainNote) -> bool:
    """Whether the rules for joints apply: any sign does that to pain in a muscle."""
    return note.kind is PainKind.joint or bool(note.qualities)


def is_pain(note: PainNote) -> bool:
    """Whether something hurt. A 0, or burning that was soon gone, is not pain; a sign always is, and a note
    that says nothing counts as pain."""
    return bool(note.qualities) or (note.rating != 0 and not _was_effort(note))


def advice(note: PainNote, *, retried: bool = False) -> Advice | None:
    """What a pain note asks for; None while it does not say enough.

    Any sign (see ``PainQuality``) stops the movement, whatever hurts, with or without a number. The number
    at the end of the unloaded try (``after_try``) lets them go on at 0, or up to what they said of this joint
    before the start. ``retried`` says that the try was made earlier: only 0 lets them go on then.
    """
    rating = note.rating
    if note.kind is PainKind.warning_sign:
        return Advice.get_help
    is_muscle = note.kind is PainKind.muscle and not counts_as_joint(note)
    if rating is not None and rating >= END_FROM and not is_muscle:
        return Advice.end_session
    if note.qualities:
        return Advice.swap_and_leave_out
    if is_muscle:
        return _muscle_advice(note)
    if note.kind is None or note.joint is None or rating is None:
        return None
    return _joint_advice(note, rating, retried=retried)


def _was_effort(note: PainNote) -> bool:
    """Whether the burning of a muscle was gone soon after stopping."""
    gone = note.gone_after_s
    return note.kind is PainKind.muscle and gone is not None and gone <= EFFORT_GONE_WITHIN_S


def _muscle_advice(note: PainNote) -> Advice | None:
    if _was_effort(note):
        return Advice.go_on
    if note.rating is None:
        return Advice.ease if note.gone_after_s is not None else None
    if note.rating >= STOP_MUSCLE_FROM:
        return Advice.stop_movement
    return Advice.ease if note.rating >= EASE_FROM else Advice.go_on


def _joint_advice(note: PainNote, rating: int, *, retried: bool) -> Advice:
    if rating >= SWAP_FROM:
        return Advice.swap_and_leave_out
    if rating == 0 or (note.after_try and rating <= passes_up_to(note.said_before)):
        return Advice.go_on
    return Advice.swap_and_leave_out if retried or note.after_try else Advice.retry_unloaded


def passes_up_to(said_before: int | None) -> int:
    """The highest pain at which the unloaded try passes: 0, or what was said of the joint before the start,
    where that was low."""
    return said_before if said_before is not None and said_before <= MOST_SAID_BEFORE else 0


def hurt_before(note: PainNote, earlier: Iterable[PainNote]) -> bool:
    """Whether the movement of a note hurt earlier in the session, so that the person has already retried."""
    return any(one.movement == note.movement and counts_as_joint(one) and is_pain(one) for one in earlier)


def rating_to_spare(note: PainNote) -> int:
    """The pain that the rest of the session assumes for the joint, from 1 to 10.

    A sign counts as at least 3, whatever number was said.
    """
    return max(note.rating or 1, SWAP_FROM if note.qualities else 1)
