"""A plan as written, with nothing given up: its session for each kit and number of rounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import RoundsRange, SessionPlan, SideChangeMode
from engine.session.fitted import FittedSession

ALL_THE_TIME_MIN = 1_000_000.0
"""More minutes than any plan needs."""


def rounds_planned(plan: SessionPlan) -> tuple[int, ...]:
    """The numbers of rounds that the plan wants, over all its work blocks."""
    blocks = plan.work_blocks()
    fewest, most = min(b.rounds.min for b in blocks), max(b.rounds.max for b in blocks)
    return tuple(range(fewest, most + 1))


def planned_session(
    plan: SessionPlan, kit: Kit, rounds: int, *, side_change: SideChangeMode | None = None
) -> FittedSession | None:
    """The session with this many rounds and the fewest of the warm-up; None where no work can be done.

    Sides are changed as the plan says, or in another mode.

    The room has everything, nothing is sore and nothing is given up. A block whose range does not include the
    number gets the nearest that it allows. ``plan`` has to be free of faults.
    """
    asked = Asked(minutes=ALL_THE_TIME_MIN, room=Room(kit=kit), side_change=side_change)
    problem = pose(_with_fixed_rounds(plan, rounds), asked)
    solution = solve(problem, problem.asked.budget_ms)
    return None if solution is None else fitted(problem, solution)


def _with_fixed_rounds(plan: SessionPlan, rounds: int) -> SessionPlan:
    """The plan with its rounds fixed and nothing to give up."""
    blocks = []
    for block in plan.blocks:
        if block.kind == "work":
            number = min(max(rounds, block.rounds.min), block.rounds.max)
            block = block.model_copy(update={"rounds": RoundsRange(min=number, max=number)})
        elif block.kind == "warm_up":
            fewest = block.rounds.min
            block = block.model_copy(update={"rounds": RoundsRange(min=fewest, max=fewest)})
        blocks.append(block)
    return plan.model_copy(update={"blocks": tuple(blocks), "allowances": ()})


@dataclass(frozen=True)
class PlannedRow:
    """The lengths of one kit as planned, by rounds, in milliseconds; None where it leaves no work to do.

    ``side_change`` is the mode where it is not the plan's own.
    """

    kit: Kit
    side_change: SideChangeMode | None
    by_rounds: dict[int, int | None]


def planned_row(
    plan: SessionPlan, kit: Kit, rounds: Sequence[int], *, side_change: SideChangeMode | None = None
) -> PlannedRow:
    """The row for some numbers of rounds, with sides changed as the plan says or in another mode."""
    lengths_ms = {
        number: _length_ms(planned_session(plan, kit, number, side_change=side_change)) for number in rounds
    }
    return PlannedRow(kit, side_change, lengths_ms)


def _length_ms(session: FittedSession | None) -> int | None:
    return None if session is None else session.total_ms


def shortest_and_longest_ms(plan: SessionPlan) -> tuple[int, int] | None:
    """How long the shortest and the longest session as planned are, over kits and rounds.

    None where no kit leaves any work to do.
    """
    rounds = rounds_planned(plan)
    sessions = (planned_session(plan, kit, number) for kit in Kit for number in {rounds[0], rounds[-1]})
    lengths_ms = [session.total_ms for session in sessions if session is not None]
    return (min(lengths_ms), max(lengths_ms)) if lengths_ms else None
