"""The coach's table beside a plan: what it costs in minutes, and what some minutes give, for each kit."""

from __future__ import annotations

from dataclasses import dataclass

from engine.base.message import Message, Seconds, message
from engine.base.units import seconds
from engine.fit.as_planned import PlannedRow, planned_row, rounds_planned
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import missing_to_minimum_ms, pose, shortest_possible_ms, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import SessionPlan, SideChangeMode

USUAL_MINUTES = (15, 20, 25, 30, 45)
MOST_ROUNDS_SHOWN = 8
"""Columns that a coach can take in beside a plan. † Our judgement, no source."""


def planned_rows(plan: SessionPlan, kit: Kit) -> tuple[PlannedRow, ...]:
    """The rows of one kit with sides changed inside the interval, and as planned. ``plan`` has to be free of
    faults."""
    rounds = rounds_planned(plan)[:MOST_ROUNDS_SHOWN]
    modes = (SideChangeMode.inside, None)
    return tuple(planned_row(plan, kit, rounds, side_change=mode) for mode in modes)


@dataclass(frozen=True)
class MinutesGive:
    """What somebody with this kit and these minutes gets.

    ``rounds`` is None where nothing of the plan fits. ``given_up`` counts the reasons that the session gives.
    ``warning`` tells the coach that nothing fits, or how much is missing to the minimum of rounds.
    """

    kit: Kit
    minutes: int
    rounds: int | None
    total_ms: int = 0
    given_up: int = 0
    warning: Message | None = None


def minutes_give(plan: SessionPlan, kit: Kit) -> tuple[MinutesGive, ...]:
    """What each of ``USUAL_MINUTES`` gives with a kit. ``plan`` has to be free of faults."""
    return tuple(given(plan, kit, minutes) for minutes in USUAL_MINUTES)


def given(plan: SessionPlan, kit: Kit, minutes: int) -> MinutesGive:
    """What these minutes give with a kit, in a room that has everything."""
    problem = pose(plan, Asked(minutes=minutes, room=Room(kit=kit)))
    solution = solve(problem, problem.asked.budget_ms)
    if solution is None:
        shortest = Seconds(seconds=seconds(shortest_possible_ms(problem)))
        return MinutesGive(kit, minutes, None, warning=message("nothing_fits", shortest=shortest))
    session = fitted(problem, solution)
    warning = None
    if session.below_minimum:
        missing = Seconds(seconds=seconds(missing_to_minimum_ms(problem)))
        warning = message("short_of_your_minimum", missing=missing)
    return MinutesGive(kit, minutes, session.rounds(), session.total_ms, len(session.reasons), warning)
