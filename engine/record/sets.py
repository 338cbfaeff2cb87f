"""What counts of a set: whether it was worked at all, whether it was hard, and its repetitions."""

from __future__ import annotations

from engine.live.state import Outcome
from engine.record.record import SetDone

HARD_SET_RESERVE = 4
"""A hard set leaves at most 4 repetitions in reserve. † Our judgement, no source."""
EFFORT_OF_HARD_SET = 10 - HARD_SET_RESERVE


def is_hard(done: SetDone) -> bool:
    """Whether few repetitions were left; a set without an effort is not hard."""
    return done.effort is not None and done.effort >= EFFORT_OF_HARD_SET


def repetitions_of(done: SetDone) -> int | None:
    """Repetitions as the person counted them, else as the tempo predicts for the time worked."""
    return done.repetitions if done.repetitions is not None else done.planned_repetitions


def is_worked(done: SetDone) -> bool:
    """Whether a set counts: at least one repetition, counted or predicted; without a tempo, any time."""
    if done.outcome is Outcome.skipped or done.worked_ms <= 0:
        return False
    return repetitions_of(done) != 0
