"""One line for the coach for each sample, kit and minute, frozen in ``coach_table.txt``.

If a change of the engine changes a line, the diff of that file shows it and the commit justifies it. Write
the file again with:

    python3 build/dev.py renew coach_table
"""

from __future__ import annotations

from collections.abc import Iterator

from places import GOLDEN, SAMPLES
from reasons_said import swaps_said

from companion.cli.fit_json import practice_kind
from engine.base.reading import read
from engine.base.units import format_duration
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, shortest_possible_ms, solve
from engine.fit.reasons import SwapCode
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import SessionPlan
from engine.session.fitted import FittedSession

TABLE = GOLDEN / "coach_table.txt"
MINUTES = range(8, 61)
NOT_GIVEN_UP = ("below_minimum", *SwapCode, "no_more_for_pain")


def table() -> str:
    """The whole table as text."""
    files = sorted(SAMPLES.glob("*.json"))
    return "\n".join(line for file in files for line in _of_plan(read(SessionPlan, file.read_bytes()))) + "\n"


def _of_plan(plan: SessionPlan) -> Iterator[str]:
    for kit in Kit:
        yield f"== {plan.name}, {kit}"
        yield from (
            f"   {said}" for said in swaps_said(pose(plan, Asked(minutes=60, room=Room(kit=kit))).choice)
        )
        for minutes in MINUTES:
            yield f"{minutes:>2} min {kit}: {_line(plan, kit, minutes)}"
        yield ""


def _line(plan: SessionPlan, kit: Kit, minutes: int) -> str:
    problem = pose(plan, Asked(minutes=minutes, room=Room(kit=kit)))
    solution = solve(problem, problem.asked.budget_ms)
    if solution is None:
        return f"no session; the shortest takes {format_duration(shortest_possible_ms(problem))}"
    return said(fitted(problem, solution))


def said(session: FittedSession) -> str:
    """A session in one line."""
    work = [block.rounds for block in session.blocks if block.kind == "work"]
    rounds = " + ".join(map(str, work)) + (" round" if work == [1] else " rounds")
    below = " (below the minimum)" if session.below_minimum else ""
    given_up = [f"{_named(r.code)} ({r.seconds:g} s)" for r in session.reasons if r.code not in NOT_GIVEN_UP]
    tail = f"; given up: {', '.join(given_up)}" if given_up else ""
    practised = practice_kind(session)
    return (
        f"{rounds}{below}, warm-up {session.warm_up_rounds()}, practice {practised}, "
        f"{format_duration(session.total_ms)}{tail}"
    )


def _named(code: str) -> str:
    words = {
        "hand_change": "change of hands",
        "leg_change": "change of legs",
        "practice_kind": "kind of practice",
        "cool_down": "cool-down",
    }
    return words.get(code, code.replace("_", " "))


def main() -> int:
    TABLE.write_text(table(), "utf-8")
    return 0
