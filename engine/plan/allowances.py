"""What a plan lets the fit give up when the minutes are short, first to last."""

from __future__ import annotations

from engine.plan.plan import Allowance, GiveUp, SessionPlan

DEFAULT_ALLOWANCES = (
    Allowance(give_up=GiveUp.cool_down, to_s=(240, 180, 150, 120)),
    Allowance(give_up=GiveUp.hand_change),
    Allowance(give_up=GiveUp.leg_change),
    Allowance(give_up=GiveUp.practice_kind),
    Allowance(give_up=GiveUp.practice),
    Allowance(give_up=GiveUp.optional_movements),
    Allowance(give_up=GiveUp.rest, to_s=(45, 40, 35, 30, 25, 20, 15)),
)
"""What a plan that says nothing about it allows. † Our judgement, no source."""


def allowances_of(plan: SessionPlan) -> tuple[Allowance, ...]:
    """What the plan allows, or our default where it says nothing."""
    return DEFAULT_ALLOWANCES if plan.allowances is None else plan.allowances
