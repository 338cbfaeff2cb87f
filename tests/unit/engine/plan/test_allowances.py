"""What a plan that says nothing lets the fit give up, and what a new allowance begins with."""

from __future__ import annotations

from itertools import pairwise

import pytest
from builders import plan
from pydantic import ValidationError

from engine.plan.allowances import DEFAULT_ALLOWANCES, allowances_of
from engine.plan.draft import apply, draft_of, plan_of
from engine.plan.draft_parts import allowance_added
from engine.plan.floors import SHORTEST_COOL_DOWN_S, SHORTEST_REST_S, SHORTEST_WORK_S
from engine.plan.plan import Allowance, GiveUp

FLOORS_S = {
    GiveUp.cool_down: SHORTEST_COOL_DOWN_S,
    GiveUp.rest: SHORTEST_REST_S,
    GiveUp.work: SHORTEST_WORK_S,
}
"""† Our judgement, no source: no lever goes below them."""


def begun_with(give_up: GiveUp) -> Allowance:
    draft = draft_of(plan(allowances=()))
    made = plan_of(apply(draft, allowance_added(draft, give_up)))
    assert made is not None
    return allowances_of(made)[-1]


def test_an_allowance_has_at_most_sixty_lengths() -> None:
    """What comes from outside is bounded. † Our judgement, no source."""
    Allowance(give_up=GiveUp.rest, to_s=tuple(range(60, 0, -1)))
    with pytest.raises(ValidationError, match="at most 60"):
        Allowance(give_up=GiveUp.rest, to_s=tuple(range(61, 0, -1)))


@pytest.mark.parametrize(
    "allowance", [*(one for one in DEFAULT_ALLOWANCES if one.to_s), *map(begun_with, FLOORS_S)]
)
def test_lengths_go_down_by_whole_steps_to_their_floor(allowance: Allowance) -> None:
    steps_s = {longer - shorter for longer, shorter in pairwise(allowance.to_s)}
    assert min(steps_s) > 0
    assert all(step_s % 5 == 0 for step_s in steps_s), "nobody sets a clock to a single second"
    assert allowance.to_s[-1] == FLOORS_S[allowance.give_up]


def test_a_plan_that_allows_nothing_is_not_given_the_usual() -> None:
    assert allowances_of(plan(allowances=())) == ()
    assert allowances_of(plan(allowances=None)) == DEFAULT_ALLOWANCES
