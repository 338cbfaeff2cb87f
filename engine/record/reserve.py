"""Repetitions left in reserve, which the log keeps as the effort of a set.

Effort 10 leaves none, 9 one, 8 two (Zourdos 2016, JSCR 30:267–275); 5 repetitions stand for 5 or more.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.record.record import LogAnswers, SetAnswer, SetDone
from engine.record.sets import is_skipped

MOST_LEFT = 5


def effort_of(left: int) -> float:
    """The effort of a set that left this many repetitions, 0 to 5."""
    return 10.0 - left


def left_after(effort: float) -> float:
    """The repetitions left after a set of effort 0–10, at most 5; half an effort leaves half a repetition."""
    return max(0, min(MOST_LEFT, 10 - effort))


def with_reserve(answers: LogAnswers, own: Sequence[SetDone], left: int) -> LogAnswers:
    """The answers with what was left in the last round of a movement's ``own`` sets, on every side; one that
    was skipped left nothing in reserve."""
    worked = [done for done in own if not is_skipped(done)]
    last = [done.key for done in worked if (done.block, done.round) == (worked[-1].block, worked[-1].round)]
    said = {
        key: answers.exceptions.get(key, SetAnswer()).model_copy(update={"effort": effort_of(left)})
        for key in last
    }
    return answers.model_copy(update={"exceptions": {**answers.exceptions, **said}})
