"""What counts of a set: whether it was worked, at all or to its end, and was hard; its repetitions or its
seconds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from engine.base.units import MS_PER_S
from engine.live.state import Outcome
from engine.movements.pain import PainNote, is_pain
from engine.record.record import SetDone, set_key
from engine.session.segment import Kind, Segment

HARD_SET_RESERVE = 4
"""A hard set leaves at most 4 repetitions in reserve. † Our judgement, no source."""
EFFORT_OF_HARD_SET = 10 - HARD_SET_RESERVE


def is_hard(done: SetDone) -> bool:
    """Whether few repetitions were left; a set that nobody rated is neither hard nor easy."""
    return done.effort is not None and done.effort >= EFFORT_OF_HARD_SET


def repetitions_of(done: SetDone) -> int | None:
    """Repetitions as the person counted them, else as the tempo predicts for the time worked; a hold has
    none."""
    if done.is_hold:
        return None
    return done.repetitions if done.repetitions is not None else done.planned_repetitions


def is_without_weight(done: SetDone) -> bool:
    """Whether nothing was lifted: the version takes no dumbbell, or it was done without one."""
    return not done.dumbbells or done.load_g == 0


def held_s_of(done: SetDone) -> float | None:
    """The seconds of a hold as the person says, else as the clock knows; None for a set of repetitions."""
    if not done.is_hold:
        return None
    return done.held_s if done.held_s is not None else done.worked_ms / MS_PER_S


def is_skipped(done: SetDone) -> bool:
    """Whether a set was left before a whole repetition, or a second of a hold, by the clock: whatever is said
    of it, it was not done."""
    if done.outcome is Outcome.done:
        return False
    return done.planned_repetitions == 0 or done.worked_ms < MS_PER_S


def hurt_sets(pains: Iterable[PainNote], segments: Mapping[str, Segment]) -> frozenset[str]:
    """The keys of the sets in which something hurt; ``segments`` are those of the session, by id."""
    hurt = (segments.get(note.segment_id or "") for note in pains if is_pain(note))
    return frozenset(
        set_key(one.block, one.round, one.place, one.movement, one.side)
        for one in hurt
        if one and one.kind is Kind.work and one.round and one.place and one.movement and one.side
    )


def is_whole(done: SetDone) -> bool:
    """Whether a set was worked to its end, with a repetition at least."""
    return done.outcome is Outcome.done and is_worked(done)


def is_worked(done: SetDone) -> bool:
    """Whether a set counts: at least one repetition, counted or predicted; without a tempo, any time."""
    if done.outcome is Outcome.skipped or done.worked_ms <= 0:
        return False
    return 0 not in (repetitions_of(done), held_s_of(done))
