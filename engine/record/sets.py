"""A set that was done: whether it was hard, and how many repetitions it had."""

from __future__ import annotations

from engine.live.state import Outcome
from engine.record.record import SetDone

HARD_SET_RESERVE = 4
"""A hard set has at most so many repetitions in reserve. † Our judgement, no source."""
EFFORT_OF_HARD_SET = 10 - HARD_SET_RESERVE


def is_hard(done: SetDone) -> bool:
    return done.effort is not None and done.effort >= EFFORT_OF_HARD_SET


def repetitions_of(done: SetDone) -> int | None:
    """Repetitions as counted, else as the tempo predicts for the time worked."""
    return done.repetitions if done.repetitions is not None else done.planned_repetitions


def is_worked(done: SetDone) -> bool:
    """Whether a set counts: at least one repetition, as counted or as the time worked allows; without a
    tempo, any time at all."""
    if done.outcome is Outcome.skipped or done.worked_ms <= 0:
        return False
    return repetitions_of(done) != 0
