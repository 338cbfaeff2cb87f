"""The fit against brute force and OR-tools CP-SAT on plans drawn by number.

A test run compares the first 120; ``python3 build/dev.py faults --plans N`` compares N. The result of the
last full comparison is kept in ``fit_compared.txt``.
"""

from __future__ import annotations

import os

from compared_fits import RESULT, compare, problem
from fit_models import Model
from random_plans import Drawing, largest

from engine.fit.asked import Asked
from engine.fit.problem import pose
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.check import check
from engine.plan.plan import GiveUp, SideChangeMode

PLANS = int(os.environ.get("PLANS", "120"))


def test_the_fit_is_the_optimum_that_brute_force_and_a_constraint_solver_find() -> None:
    """The lengths of the sessions are compared with those of the compiled sessions too."""
    found = compare(range(PLANS))
    assert found.differences == []
    assert found.counts["where a lever is spent"] > PLANS / 3


def test_the_largest_plan_has_the_optimum_that_the_others_find() -> None:
    assert check(largest()) == ()
    for minutes in (15, 25, 60):
        posed = pose(largest(), Asked(minutes=minutes, room=Room(kit=Kit.single)))
        best, model = posed.best(posed.decisions, posed.asked.budget_ms), Model(posed)
        assert best is not None
        assert best.ranks == model.best_of_all(posed.asked.budget_ms)
        if minutes == 25:
            assert best.ranks == model.by_constraint_solver(posed.asked.budget_ms)


def test_the_plans_hold_everything_that_can_interact() -> None:
    """Every lever, the three ways to change sides, up to four blocks with twelve movements in all, practice
    whose other kind lasts longer, and a stand-in that changes sides where the planned movement does not."""
    plans = [Drawing(number).plan() for number in range(120)]
    assert {a.give_up for plan in plans for a in plan.allowances or ()} == set(GiveUp)
    assert {plan.side_change.mode for plan in plans} == set(SideChangeMode)
    assert {len(plan.work_blocks()) for plan in plans} == {1, 2, 3, 4}
    assert max(sum(len(b.movements) for b in plan.work_blocks()) for plan in plans) == 12
    posed = [problem(number) for number in range(120)]
    assert any(_longer_variants(one) for one in posed)
    assert any(_other_sides(one) for one in posed)


def _longer_variants(posed) -> bool:
    """Whether giving up the usual kind of practice makes the session longer."""
    levers = [n for n, lever in enumerate(posed.levers) if lever.code is GiveUp.practice_kind]
    as_planned = posed.open(()).with_rounds(posed.start.rounds)
    usual_ms = posed.lengths.least_ms(as_planned)
    return any(posed.lengths.least_ms(as_planned.with_step(number, 1)) > usual_ms for number in levers)


def _other_sides(posed) -> bool:
    """Whether a stand-in changes sides in another way than the movement it replaces."""
    known = posed.plan.known_movements()
    return any(
        chosen.instead_of and chosen.sides is not known[chosen.instead_of].variants[-1].sides
        for block in posed.work_ids
        for chosen in posed.choice.by_block[block].values()
    )


def test_the_comparison_in_full_is_kept_and_found_no_difference() -> None:
    kept = RESULT.read_text("utf-8").splitlines()
    counts = {what.strip(): int(count.replace(",", "")) for count, _, what in map(_columns, kept[4:])}
    assert counts["plans"] >= 2_000
    assert counts["differences"] == 0


def _columns(line: str) -> tuple[str, str, str]:
    return line.strip().partition("  ")
