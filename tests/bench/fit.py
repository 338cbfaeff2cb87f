"""How long the whole answer takes (best fit, reasons, alternatives, what each of five more minutes buys), and
whether it is right.

    python3 build/dev.py bench fit [PLANS]

Times are processor time, which equals the wait on an idle machine and depends less on what else the machine
does. Each question is asked seven times, and the quickest answer counts. CP-SAT is timed on the largest plan
with its tables built; our fit is timed from the plan and the question.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from statistics import median, quantiles
from time import process_time

from compared_fits import compare
from fit_models import Model
from pace_simulation import finish_within_60s_share
from places import SAMPLES
from random_plans import largest

from engine.base.reading import read
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.fit.problem import pose, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import SessionPlan

PLANS = 2_000
TIMES = 7
AGAINST_CP_SAT_MIN = (20, 30, 40, 60)

Question = tuple[SessionPlan, Asked]


def sample_questions() -> Iterator[Question]:
    for file in sorted(SAMPLES.glob("*.json")):
        yield from _questions(read(SessionPlan, file.read_bytes()))


def _questions(plan: SessionPlan) -> Iterator[Question]:
    for kit in Kit:
        for minutes in range(8, 61):
            yield plan, Asked(minutes=minutes, room=Room(kit=kit))


def quickest_ms(of: Callable[[], object], times: int = TIMES) -> float:
    taken = []
    for _ in range(times):
        started = process_time()
        of()
        taken.append((process_time() - started) * 1_000)
    return min(taken)


def answers_ms(questions: Iterator[Question]) -> list[float]:
    return [quickest_ms(lambda one=one: offer(*one)) for one in questions]


def p99(times_ms: list[float]) -> float:
    return quantiles(times_ms, n=100)[98]


def times_faster() -> float:
    """The time of all of CP-SAT's fits over the time of all of ours."""
    ours_ms = theirs_ms = 0.0
    for minutes in AGAINST_CP_SAT_MIN:
        asked = Asked(minutes=minutes, room=Room(kit=Kit.single))
        posed = pose(largest(), asked)
        model = Model(posed)
        assert model.tables
        found = solve(posed, asked.budget_ms)
        started = process_time()
        theirs = model.by_constraint_solver(asked.budget_ms)
        theirs_ms += (process_time() - started) * 1_000
        ours_ms += quickest_ms(lambda asked=asked: solve(pose(largest(), asked), asked.budget_ms))
        assert found is not None
        assert found.ranks == theirs
    return theirs_ms / ours_ms


def main() -> int:
    plans = int(sys.argv[1]) if len(sys.argv) > 1 else PLANS
    samples_ms = answers_ms(sample_questions())
    largest_ms = answers_ms(_questions(largest()))
    for name, times_ms in (("samples", samples_ms), ("largest plan", largest_ms)):
        asked = f"{name:<14}{len(times_ms):>5} questions"
        print(f"{asked}, p50 {median(times_ms):6.2f} ms, p99 {p99(times_ms):6.2f} ms")
    faster = times_faster()
    print(f"{'CP-SAT':<14}{faster:8.0f} times slower on the largest plan")
    found = compare(range(plans))
    print(f"{'compared':<14}{plans:>5} plans, {len(found.differences)} differences")
    for one in found.differences:
        print(one)
    figures = {
        "samples_p99_ms": round(p99(samples_ms), 2),
        "largest_p99_ms": round(p99(largest_ms), 2),
        "times_faster_than_cp_sat": round(faster),
        "plans_compared": plans,
        "optimum_mismatches": len(found.differences),
        "finish_within_60s_share": round(finish_within_60s_share(1), 4),
    }
    print(json.dumps(figures))
    return 0
