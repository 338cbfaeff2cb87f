"""Which side is weaker, and when a gap between the sides is a question for the coach."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.message import Argument, Count, Message, message
from engine.live.state import Outcome
from engine.movements.movement import Held, Side
from engine.movements.terms import side_worked
from engine.record.exposure import Exposure
from engine.record.record import SetDone
from engine.record.sets import repetitions_of

GAP_REPETITIONS, GAP_EFFORT, GAP_SESSIONS = 2, 1.0, 3
"""A gap between sides worth a question. † Our judgement, no source."""
SIDE_WEAKER = "side_weaker_question"


def side_question(
    movement: Argument, exposures: Iterable[Exposure], weight: Held | None = None
) -> Message | None:
    """A question for the coach where one side was weaker in each of the last three two-sided sessions, else
    None.

    ``exposures`` are those of one variant of the ``movement``, the earliest first; ``weight`` says how the
    weight is held that the sides are named for. † Our judgement: a gap of 2 repetitions or 1 effort point.
    """
    two_sided = [one for one in exposures if one.of_side(Side.left) and one.of_side(Side.right)]
    weaker = [weaker_side(one) for one in two_sided[-GAP_SESSIONS:]]
    if len(weaker) < GAP_SESSIONS or weaker[0] is None or len(set(weaker)) > 1:
        return None
    side, sessions = side_worked(weaker[0], weight), Count(count=GAP_SESSIONS)
    return message("side_weaker_question", movement=movement, side=side, sessions=sessions)


def weaker_side(exposure: Exposure) -> Side | None:
    """The side that fell behind in some round, by 2 or more repetitions, else by 1 or more effort points.

    None where neither did.
    """
    whole = whole_pairs(exposure)
    for left, right in whole:
        behind = (repetitions_of(right) or 0) - (repetitions_of(left) or 0)
        if abs(behind) >= GAP_REPETITIONS:
            return Side.left if behind > 0 else Side.right
    for left, right in whole:
        harder = 0.0 if left.effort is None or right.effort is None else left.effort - right.effort
        if abs(harder) >= GAP_EFFORT:
            return Side.left if harder > 0 else Side.right
    return None


def whole_pairs(exposure: Exposure) -> tuple[tuple[SetDone, SetDone], ...]:
    """The left and the right set of each interval in which both were done to their end and no joint limited
    either: a side that pain or a swap stopped says nothing about the other."""
    pairs = (
        {done.side: done for done in sets if done.outcome is Outcome.done and done.limited_by != "joint"}
        for sets in exposure.intervals
    )
    return tuple((one[Side.left], one[Side.right]) for one in pairs if {Side.left, Side.right} <= one.keys())
