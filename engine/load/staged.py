"""A weight that comes back in stages, where less of it is asked for than the lightest that is owned.

One dumbbell cannot give half: first without weight, then with the weight in round 1 only, then in all. † Our
judgement, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from engine.base.message import Message, message
from engine.load.proposal import LEAVE_OUT_THE_PAUSE, Case, LoadProposal, LoadStep
from engine.record.exposure import Exposure


def is_owned_lighter(case: Case, limit_g: int) -> bool:
    """Whether a weight up to a limit can be had."""
    return any(load_g <= limit_g for load_g in case.weights_g)


def in_stages(
    case: Case, without: Iterable[Exposure], why: Sequence[Message], *, skip: bool = False
) -> LoadProposal:
    """No weight, or the lightest in round 1 only after a sound session of those ``without`` it.

    With ``skip`` the weight comes in round 1 at once. Where there is one round alone, which the weight would
    fill, it takes a sound session without it.
    """
    lightest_g = case.weights_g[0]
    lightest = case.load(lightest_g)
    nothing_lighter = message("nothing_lighter_on_hand", load=lightest)
    alone = case.planned.rounds == 1
    ready = any(one.sound and not (alone and one.load_g) for one in without)
    if not (case.sound and (ready or (skip and not alone))):
        return case.proposal(LoadStep.staged, 0, (*why, nothing_lighter, case.weight_today(0)))
    if alone:
        reason = (*why, nothing_lighter, message("in_the_one_round", load=lightest))
        return case.proposal(LoadStep.staged, lightest_g, reason)
    only = (message("in_round_1_only", load=lightest), *((LEAVE_OUT_THE_PAUSE,) if case.paused_last else ()))
    reason = (*why, nothing_lighter, *only)
    return case.proposal(LoadStep.staged, 0, reason, heavier_g=lightest_g, heavier_rounds=1)
