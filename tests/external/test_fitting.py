"""The published fitting fixture, written as an ordinary plan, against brute force and CP-SAT.

Computed, not quoted: budget 1500 s, 6 movements, 40 s of work, rest of 10, 15, 20 or 30 s, 60 s between
rounds, warm-up of 5 to 10 whole minutes, 1 to 4 rounds; most rounds first, then most rest, then most warm-up.
"""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from ortools.sat.python import cp_model

from engine.base.reading import read
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.check import check
from engine.plan.plan import Allowance, Buys, GiveUp, SessionPlan

PLAN = read(SessionPlan, Path(__file__).with_name("fitting_fixture.json").read_bytes())
PUBLISHED_RESTS_S = (30, 20, 15, 10)
RESTS_S = (30, 20, 15)
"""The rests of the fixture that our plans allow: none below 15 s."""

Found = tuple[int, int, int, int] | None
"""Rounds, rest in seconds, warm-up in minutes, and the length in seconds."""

BY_ALLOWANCES = PLAN.model_copy(
    update={
        "allowances": (
            Allowance(give_up=GiveUp.extra_warm_up),
            Allowance(give_up=GiveUp.rest, to_s=RESTS_S[1:]),
            Allowance(give_up=GiveUp.extra_rounds),
        ),
        "buys": tuple(Buys),
    }
)
"""The same order of worth, declared by the allowances instead."""


def ours(budget_s: int, plan: SessionPlan = PLAN) -> Found:
    problem = pose(plan, Asked(minutes=budget_s / 60, room=Room(kit=Kit.none)))
    solution = solve(problem, budget_s * 1_000)
    if solution is None:
        return None
    made = fitted(problem, solution)
    rest_s = made.choices.rest_s.get("circuit", 30)
    return made.rounds(), rest_s, made.warm_up_rounds(), made.total_ms // 1_000


def length_s(rounds: int, rest_s: int, warm_up_min: int) -> int:
    return warm_up_min * 60 + rounds * (6 * 40 + 5 * rest_s) + (rounds - 1) * 60


def best_of_all(budget_s: int, rests_s: tuple[int, ...] = RESTS_S) -> Found:
    ways = product(range(1, 5), rests_s, range(5, 11))
    return max(((*way, length_s(*way)) for way in ways if length_s(*way) <= budget_s), default=None)


def by_constraint_solver(budget_s: int) -> Found:
    """OR-tools CP-SAT, given only the identity and the order of worth."""
    model = cp_model.CpModel()
    rounds, warm_up_min = model.new_int_var(1, 4, "rounds"), model.new_int_var(5, 10, "warm-up")
    rest_s = model.new_int_var_from_domain(cp_model.Domain.from_values(list(RESTS_S)), "rest")
    resting = model.new_int_var(0, 4 * 30, "rounds × rest")
    model.add_multiplication_equality(resting, [rounds, rest_s])
    total_s = 60 * warm_up_min + 240 * rounds + 5 * resting + 60 * rounds - 60
    model.add(total_s <= budget_s)
    model.maximize(10_000 * rounds + 100 * rest_s + warm_up_min)
    solver = cp_model.CpSolver()
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return solver.value(rounds), solver.value(rest_s), solver.value(warm_up_min), solver.value(total_s)


def test_the_fixture_is_a_plan_without_faults_under_either_order() -> None:
    assert check(PLAN) == check(BY_ALLOWANCES) == ()


def test_the_fitting_fixture_has_its_published_answer() -> None:
    """3 rounds, 20 s of rest, 6 min of warm-up, exactly 1500 s; a rest of 10 s would not change it."""
    assert ours(1_500) == ours(1_500, BY_ALLOWANCES) == (3, 20, 6, 1_500)
    assert best_of_all(1_500, PUBLISHED_RESTS_S) == (3, 20, 6, 1_500)


@pytest.mark.parametrize("budget_s", range(500, 2_500, 50))
def test_the_fit_agrees_with_brute_force_and_with_a_constraint_solver(budget_s: int) -> None:
    assert ours(budget_s) == best_of_all(budget_s) == by_constraint_solver(budget_s)
    assert ours(budget_s, BY_ALLOWANCES) == ours(budget_s)
