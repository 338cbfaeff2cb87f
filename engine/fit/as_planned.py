"""A plan as it stands, before anything is given up: the session of each kit and number of rounds."""

from __future__ import annotations

from dataclasses import dataclass

from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import RoundsRange, SessionPlan
from engine.session.fitted import FittedSession

ALL_THE_TIME_MIN = 1_000_000.0
"""So many minutes that nothing has to be given up."""


@dataclass(frozen=True)
class PlannedMinutes:
    """The sessions of one kit by rounds, as long as planned; None where the kit leaves nothing to work
    with."""

    kit: Kit
    by_rounds: dict[int, FittedSession | None]


def rounds_planned(plan: SessionPlan) -> tuple[int, ...]:
    """The numbers of rounds that the plan wants, over all its work blocks."""
    blocks = plan.work_blocks()
    fewest, most = min(b.rounds.min for b in blocks), max(b.rounds.max for b in blocks)
    return tuple(range(fewest, most + 1))


def planned_session(
    plan: SessionPlan, kit: Kit, rounds: int, *, side_change: bool = True
) -> FittedSession | None:
    """The session of so many rounds as planned, the warm-up at its fewest rounds: in a room that has
    everything, with nothing sore and nothing given up. None where nothing of the work can be done.

    A block whose range does not hold so many rounds has the nearest number that it does. ``plan`` has to be
    free of faults.
    """
    asked = Asked(minutes=ALL_THE_TIME_MIN, room=Room(kit=kit), side_change=side_change)
    problem = pose(_as_it_stands(plan, rounds), asked)
    solution = solve(problem, problem.asked.budget_ms)
    return None if solution is None else fitted(problem, solution)


def _as_it_stands(plan: SessionPlan, rounds: int) -> SessionPlan:
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


def shortest_and_longest_ms(plan: SessionPlan) -> tuple[int, int] | None:
    """The lengths between which a session as planned lies, over kits and rounds; None where no kit leaves
    anything to work with."""
    rounds = rounds_planned(plan)
    sessions = (planned_session(plan, kit, number) for kit in Kit for number in {rounds[0], rounds[-1]})
    lengths_ms = [session.total_ms for session in sessions if session is not None]
    return (min(lengths_ms), max(lengths_ms)) if lengths_ms else None


def minutes_by_kit(plan: SessionPlan, *, side_change: bool = True) -> tuple[PlannedMinutes, ...]:
    """The table of minutes: for each kit and each number of rounds the session as planned."""
    return tuple(
        PlannedMinutes(
            kit,
            {n: planned_session(plan, kit, n, side_change=side_change) for n in rounds_planned(plan)},
        )
        for kit in Kit
    )
