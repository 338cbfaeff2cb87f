"""Our fit beside brute force and CP-SAT on plans drawn by number. The tests compare some of them.

    python3 build/dev.py renew compared_fits 2500

compares as many as it is told, and writes ``tests/external/fit_compared.txt``.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from itertools import product
from random import Random

from builders import compile_plan
from fit_models import Model
from places import EXTERNAL
from random_plans import Drawing

from engine.fit.decisions import Decision
from engine.fit.problem import Problem, pose, shortest_possible_ms
from engine.plan.check import check
from engine.session.segment import total_ms

RESULT = EXTERNAL / "fit_compared.txt"
MOST_COMPILED = 300
"""Every session of a problem with at most this many is compiled."""
DRAWN_ONES = 3
"""How many sessions of a larger problem are compiled besides the best."""


@dataclass
class Comparison:
    """What was compared, and every difference in one line."""

    counts: Counter[str] = field(default_factory=Counter)
    differences: list[str] = field(default_factory=list)


def problem(number: int) -> Problem:
    """The problem of that number; its plan is free of faults."""
    drawing = Drawing(number)
    plan = drawing.plan()
    assert check(plan) == (), (number, check(plan))
    question = drawing.question()
    shortest_ms = shortest_possible_ms(pose(plan, question))
    return pose(plan, replace(question, minutes=drawing.minutes(shortest_ms)))


def compare(numbers: Iterable[int]) -> Comparison:
    found = Comparison()
    for number in numbers:
        posed = problem(number)
        found.counts["plans"] += 1
        found.counts["with a swap"] += bool(posed.choice.swaps)
        found.counts[f"with {len(posed.work_ids)} work blocks"] += 1
        for below, decisions in ((False, posed.decisions), (True, posed.below)):
            if decisions:
                found.differences += [
                    f"plan {number}: {one}" for one in _compared(posed, decisions, below, found)
                ]
    return found


def _compared(
    posed: Problem, decisions: tuple[Decision, ...], below: bool, found: Comparison
) -> Iterator[str]:
    budget_ms, model = posed.asked.budget_ms, Model(posed, below=below)
    best = posed.best(decisions, budget_ms)
    ours = best.ranks if best else None
    found.counts["optima"] += 1
    found.counts["where nothing fits"] += best is None
    found.counts["where a lever is spent"] += bool(best and posed.spent(best.draft))
    found.counts["sessions looked at"] += model.sessions
    lengths = model.all_lengths_ms()
    if ours != (theirs := model.best_of_all(budget_ms)):
        yield f"ours {ours}, brute force {theirs}"
    if ours != (theirs := model.by_constraint_solver(budget_ms)):
        yield f"ours {ours}, CP-SAT {theirs}"
    for places in {*_compiled_ones(model, number=found.counts["optima"]), *([ours] if ours else [])}:
        found.counts["sessions compiled"] += 1
        if lengths[places] != _compiled_ms(posed, decisions, places):
            yield f"{places} lasts {lengths[places]} ms by the model and otherwise when compiled"


def _compiled_ones(model: Model, number: int) -> Iterator[tuple[int, ...]]:
    sizes = [range(axis.size) for axis in model.axes]
    if model.sessions <= MOST_COMPILED:
        yield from product(*sizes)
        return
    chance = Random(number)
    for _ in range(DRAWN_ONES):
        yield tuple(chance.choice(size) for size in sizes)


def _compiled_ms(posed: Problem, decisions: tuple[Decision, ...], places: tuple[int, ...]) -> int:
    draft = posed.open(decisions)
    for decision, place in zip(decisions, places, strict=True):
        draft = decision.take(draft, place)
    return total_ms(compile_plan(posed.plan, posed.choices(draft), posed.choice.by_block))


def report(found: Comparison, command: str) -> str:
    lines = [
        "Our fit compared with brute force over all sessions of a plan and with OR-tools CP-SAT.",
        f"{datetime.now(UTC).date()}  {command}",
        "Neither the counts nor the answers depend on the machine or its load.",
        "",
        *(f"{count:>12,}  {what}" for what, count in sorted(found.counts.items())),
        f"{len(found.differences):>12,}  differences",
        *found.differences,
    ]
    return "\n".join(lines) + "\n"


def main() -> int:
    found = compare(range(int(sys.argv[1])))
    text = report(found, f"python3 build/dev.py renew compared_fits {sys.argv[1]}")
    RESULT.write_text(text, "utf-8")
    print(text)
    return bool(found.differences)
