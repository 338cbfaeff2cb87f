"""Sessions that were too hard: after two in a row a load goes one rung back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.base.message import Argument, Count, Message, message
from engine.live.state import Outcome
from engine.load.clear import half
from engine.load.rules import JUMP_PERCENT, percent_up
from engine.movements.movement import Kit
from engine.record.exposure import Exposure
from engine.record.record import SetDone
from engine.record.reserve import left_after
from engine.record.sets import repetitions_of

MISSED_BY = 2
"""Repetitions under the goal. † Our judgement, no source."""
LITTLE_IN_RESERVE = 1
"""Repetitions left, or fewer. † Our judgement, no source."""
TOO_HARD = message("too_hard_last_time")
HARD_SESSIONS = 2
"""So many in a row, and it is one rung back; twice as many, and it is a question for the coach. † Our
judgement, no source."""


def too_hard_in_a_row(sessions: int) -> Message:
    return message("too_hard_in_a_row", sessions=Count(count=sessions))


def too_hard_question(movement: Argument, times: int) -> Message | None:
    """The question for the coach, where one step back did not help."""
    if times <= HARD_SESSIONS:
        return None
    return message("too_hard_in_a_row_question", movement=movement, times=Count(count=times))


def hard_in_a_row(ladder: Sequence[Exposure], *, goal: int | None = None) -> int:
    """How many of the latest sessions in a row were too hard. ``ladder`` has the earliest first."""
    row = 0
    while row < len(ladder) and is_too_hard(ladder[: len(ladder) - row], goal=goal):
        row += 1
    return row


def is_too_hard(ladder: Sequence[Exposure], *, goal: int | None = None) -> bool:
    """Whether the last session missed the goal by 2 or more repetitions, or left 0–1 in reserve.

    Only sets that were done to their end count, of the last round and of heavier ones.
    """
    last, goals = ladder[-1], tuple(_goals(ladder, goal))
    missed = any(wanted - (repetitions_of(done) or 0) >= MISSED_BY for done, wanted in goals if wanted)
    judged = [done for done in (*last.last_round, *last.heavier_sets) if done.outcome is Outcome.done]
    return missed or any(
        done.effort is not None and left_after(done.effort) <= LITTLE_IN_RESERVE for done in judged
    )


def fell_far_short(exposure: Exposure) -> bool:
    """Whether not even half of the ceiling went in the last round."""
    ceiling = exposure.key.ceiling or 0
    return any((repetitions_of(done) or 0) < half(ceiling) for done in exposure.last_round)


def _goals(ladder: Sequence[Exposure], goal: int | None) -> Iterator[tuple[SetDone, int]]:
    """The sets that are judged, each with the repetitions that were its goal."""
    *earlier, last = ladder
    ceiling = goal if goal is not None else last.key.ceiling
    if ceiling is None:
        return
    is_new = last.key.kit is not Kit.none and _is_new(last.load_g or 0, earlier)
    of_load = half(ceiling) if is_new else ceiling
    yield from ((done, of_load) for done in last.last_round if done.outcome is Outcome.done)
    yield from ((done, half(ceiling)) for done in last.heavier_sets if done.outcome is Outcome.done)


def _is_new(load_g: int, earlier: Sequence[Exposure]) -> bool:
    """Whether a load was reached by a jump, or is the first, and the ceiling was never reached with it."""
    if any(one.load_g == load_g and _reached(one) for one in earlier):
        return False
    lighter = [one.load_g for one in earlier if one.load_g and one.load_g < load_g]
    return not lighter or percent_up(max(lighter), load_g) > JUMP_PERCENT


def _reached(exposure: Exposure) -> bool:
    ceiling = exposure.key.ceiling or 0
    return all((repetitions_of(done) or 0) >= ceiling for done in exposure.last_round)
