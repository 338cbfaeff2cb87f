"""Finding the load: in a movement's first sessions a weight rises by one step a session, while 5 or more
repetitions are left."""

from __future__ import annotations

from collections.abc import Sequence

from engine.load.proposal import Case, LoadProposal, LoadStep
from engine.load.rack import next_above
from engine.load.rules import FIRST_SESSIONS, MOST_JUMP_PERCENT, percent_up

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


def offered_on_the_way(case: Case, told: LoadProposal) -> int | None:
    """The weight to offer after a round that left 5 or more repetitions; None where there is nothing to find.

    A session has one step: one that starts with a step offers none, nor does one after trouble.
    """
    over = case.sessions >= FIRST_SESSIONS or case.rules.no_growth or not case.sound
    if over or told.step in STARTS_HIGHER | NOT_FOUND:
        return None
    return next_found_g(told.load_g, case.weights_g) if told.load_g else None
