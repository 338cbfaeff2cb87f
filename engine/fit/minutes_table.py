"""What a plan costs in minutes, and what so many minutes give, for each kit: the coach's table beside it."""

from __future__ import annotations

from dataclasses import dataclass

from engine.base.phrases import number_of
from engine.base.units import format_duration
from engine.fit.as_planned import planned_session, rounds_planned
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import missing_to_minimum_ms, pose, shortest_possible_ms, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import SessionPlan

USUAL_MINUTES = (15, 20, 25, 30, 45)
MOST_ROUNDS_SHOWN = 8
"""Columns that a coach can take in beside a plan. † Our judgement, no source."""


@dataclass(frozen=True)
class PlannedRow:
    """The lengths as planned, by rounds, in milliseconds; None where the kit leaves nothing to work with."""

    kit: Kit
    side_change: bool
    by_rounds: dict[int, int | None]


@dataclass(frozen=True)
class Given:
    """What somebody with this kit and so many minutes gets.

    ``rounds`` is None where nothing of the plan fits. ``warning`` says what the coach has to know: nothing
    fits, or fewer rounds than the fewest.
    """

    kit: Kit
    minutes: int
    rounds: int | None
    total_ms: int = 0
    given_up: int = 0
    warning: str | None = None


def planned_rows(plan: SessionPlan, kit: Kit) -> tuple[PlannedRow, ...]:
    """Without the change of sides and with it, of a plan free of faults; at most
    ``MOST_ROUNDS_SHOWN`` numbers of rounds."""
    rounds = rounds_planned(plan)[:MOST_ROUNDS_SHOWN]
    return tuple(
        PlannedRow(kit, change, {number: _length_ms(plan, kit, number, change) for number in rounds})
        for change in (False, True)
    )


def _length_ms(plan: SessionPlan, kit: Kit, rounds: int, side_change: bool) -> int | None:
    session = planned_session(plan, kit, rounds, side_change=side_change)
    return None if session is None else session.total_ms


def given(plan: SessionPlan, kit: Kit, minutes: int) -> Given:
    """The best session of a plan (free of faults) in a room that has everything."""
    problem = pose(plan, Asked(minutes=minutes, room=Room(kit=kit)))
    solution = solve(problem, problem.asked.budget_ms)
    if solution is None:
        shortest = format_duration(shortest_possible_ms(problem))
        return Given(kit, minutes, None, warning=f"Nothing fits; the shortest session takes {shortest}.")
    session = fitted(problem, solution)
    warning = None
    if session.below_minimum:
        missing = format_duration(missing_to_minimum_ms(problem))
        warning = f"{number_of(session.rounds(), 'round')}, below the fewest; {missing} are missing."
    return Given(kit, minutes, session.rounds(), session.total_ms, len(session.reasons), warning)


def minutes_give(plan: SessionPlan, kit: Kit) -> tuple[Given, ...]:
    """A kit with each of ``USUAL_MINUTES``."""
    return tuple(given(plan, kit, minutes) for minutes in USUAL_MINUTES)
