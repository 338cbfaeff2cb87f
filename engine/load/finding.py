"""Finding the load: in a movement's first sessions a weight rises by one step a session, while 5 or more
repetitions are left."""

from __future__ import annotations

from collections.abc import Sequence

from engine.load.clear import RESERVE_TO_JUMP
from engine.load.proposal import LoadProposal, LoadStep
from engine.load.rack import next_above
from engine.load.rules import FIRST_SESSIONS, MOST_JUMP_PERCENT, LoadRules, percent_up
from engine.record.record import SetDone
from engine.record.reserve import left_after

STARTS_HIGHER = frozenset(
    {LoadStep.found, LoadStep.heavier, LoadStep.heavier_first_rounds, LoadStep.back_up, LoadStep.round_more}
)
"""A session that starts with a step has had its step."""
NOT_FOUND = frozenset({LoadStep.returning, LoadStep.staged, LoadStep.after_absence, LoadStep.lighter})
"""What was lifted before, or has to be less: there is nothing to find."""


def next_found_g(load_g: int, weights_g: Sequence[int]) -> int | None:
    """The next weight that is owned, at most a quarter up; None where there is none."""
    next_g = next_above(weights_g, load_g)
    return next_g if next_g is not None and percent_up(load_g, next_g) <= MOST_JUMP_PERCENT else None


def offered_after_round(
    told: LoadProposal,
    done: Sequence[SetDone],
    weights_g: Sequence[int],
    *,
    sessions: int,
    rules: LoadRules,
    hurt: bool = False,
) -> int | None:
    """The weight to offer from the next round on; None where the load stays.

    ``told`` was proposed at the start, ``done`` are the movement's sets so far, with what was said about
    them, ``sessions`` how often it was done in this version before, ``hurt`` whether something hurt in this
    one. It is offered once: a session that has had a step, or in which form slipped, offers none.
    """
    if sessions >= FIRST_SESSIONS or rules.no_growth or hurt or told.step in STARTS_HIGHER | NOT_FOUND:
        return None
    if not done or told.load_g is None or any(one.load_g != told.load_g for one in done):
        return None
    if not all(one.position_held and one.range_kept and not one.easier_form for one in done):
        return None
    last = [one for one in done if (one.block, one.round) == (done[-1].block, done[-1].round)]
    much = all(one.effort is not None and left_after(one.effort) >= RESERVE_TO_JUMP for one in last)
    return next_found_g(told.load_g, weights_g) if much else None
