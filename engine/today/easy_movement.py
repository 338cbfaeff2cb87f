"""Easy movement on a day without a strength session: when it is offered, and what its few minutes hold.

It is recorded and never counted as a session (``FittedSession.easy_movement``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from engine.base.message import Message
from engine.base.units import MS_PER_MIN, ms
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.movements.easy import easy_movements
from engine.movements.limits import BREATHING_AND_WALKING, WALKING
from engine.movements.movement import Equipment, Kit, Movement, StartsWith, library
from engine.movements.room import Room
from engine.plan.adjustment import Adjustment
from engine.plan.plan import RoundsRange, SessionPlan, SideChange, SideChangeMode, WorkBlock, WorkMovement
from engine.session.fitted import FittedSession
from engine.session.timeline import LEAD_IN_S
from engine.today.adjusted import left_out_by, room_with_adjustments
from engine.today.cautions import cautions_for
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.mornings import after_mornings
from engine.today.no_session import AboutPain, NoSession

PLAN_ID, NAME = "easy-movement", "Easy movement"
SHORTEST_MIN, AIM_MIN, LONGEST_MIN = 5, 8, 10
HIGHEST_EFFORT = 4
WORK_S, REST_S = 40, 20
FEWEST_MOVEMENTS, MOST_MOVEMENTS = 2, 4
MOST_ROUNDS = 4
"""† Our judgement, no source."""

RULES = (
    "Stop if anything hurts.",
    f"Effort {HIGHEST_EFFORT} of 10 at most: you could talk all the time.",
)
"""What holds for all of it."""


@dataclass(frozen=True)
class EasyMovement:
    """What is offered, with the cautions of the person's profile.

    ``session`` is None where too few movements leave the joint and its neighbours alone.
    """

    session: FittedSession | None
    cautions: tuple[Message, ...] = ()


def easy_movement(
    why: NoSession,
    answers: Mapping[AboutPain, bool],
    today: Today,
    learned: Learned,
    adjustments: Iterable[Adjustment] = (),
) -> EasyMovement | None:
    """The easy movement of a day without a strength session; None where the rules for pain offer none.

    A joint with a sign of injury today gets none, whatever is answered. ``adjustments`` are those
    ``in_force`` today.
    """
    if not why.permits_easy_movement(answers):
        return None
    if any((one.joint, one.side) in today.spared for one in why.joints):
        return None
    asked_by_coach = tuple(adjustments)
    room = _room(today, learned, asked_by_coach)
    left_out = left_out_by(asked_by_coach)
    easy = [one for one in easy_movements(library(), room).values() if one.slug not in left_out]
    if len(easy) < FEWEST_MOVEMENTS:
        return EasyMovement(None)
    number, rounds = _size(len(easy), today.minutes)
    session = _session(_in_turn(easy)[:number], rounds, room, learned)
    return EasyMovement(session, tuple(cautions_for(today.flags, 0, today.sore_muscles)))


def _room(today: Today, learned: Learned, adjustments: tuple[Adjustment, ...]) -> Room:
    """The room of today without a weight and without the floor, so that nothing brings them in on the run."""
    worse = after_mornings(learned.history, library())
    room = room_with_adjustments(today.room((*learned.after_pain, *worse)), adjustments, today.day)
    without = dict.fromkeys((*room.without, Equipment.floor))
    return room.model_copy(update={"kit": Kit.none, "without": tuple(without)})


def _size(available: int, minutes: float) -> tuple[int, int]:
    """The number of movements and of rounds: as many movements as there are, for about 8 minutes.

    Where fewer minutes are asked for, the longest that fits them; never under 5 minutes or over 10.
    """
    possible = [
        (number, rounds)
        for number in range(min(available, MOST_MOVEMENTS), FEWEST_MOVEMENTS - 1, -1)
        for rounds in range(1, MOST_ROUNDS + 1)
        if ms(60 * SHORTEST_MIN) <= _length_ms(number, rounds) <= ms(60 * LONGEST_MIN)
    ]
    fitting = [one for one in possible if _length_ms(*one) <= minutes * MS_PER_MIN]
    if not fitting:
        return min(possible, key=lambda one: _length_ms(*one))
    most = fitting[0][0]
    return min(
        (one for one in fitting if one[0] == most), key=lambda one: abs(_length_ms(*one) - ms(60 * AIM_MIN))
    )


def _length_ms(number: int, rounds: int) -> int:
    """The length of a session of some movements: no rest follows the last."""
    return ms(LEAD_IN_S + number * rounds * (WORK_S + REST_S) - REST_S)


def _in_turn(easy: Iterable[Movement]) -> list[Movement]:
    """Walking first, then what moves, then stretches, then breathing; neighbours differ in region where they
    can."""
    left, picked = sorted(easy, key=_rank), list[Movement]()
    while left:
        alike = [one for one in left if _rank(one) == _rank(left[0])]
        other = (one for one in alike if not picked or one.region is not picked[-1].region)
        picked.append(next(other, alike[0]))
        left.remove(picked[-1])
    return picked


def _rank(movement: Movement) -> int:
    if movement.slug in WALKING:
        return 0
    if movement.slug in BREATHING_AND_WALKING:
        return 3
    return 2 if movement.starts_with is StartsWith.hold else 1


def _session(movements: Iterable[Movement], rounds: int, room: Room, learned: Learned) -> FittedSession:
    """The movements on the clock, without a tempo to keep up with."""
    own = tuple(movements)
    plan = SessionPlan(
        id=PLAN_ID,
        name=NAME,
        blocks=(
            WorkBlock(
                id=PLAN_ID,
                movements=tuple(WorkMovement(movement=one.slug) for one in own),
                rounds=RoundsRange(min=rounds, max=rounds),
                work_s=WORK_S,
                rest_s=REST_S,
            ),
        ),
        side_change=SideChange(mode=SideChangeMode.inside),
        allowances=(),
        stop_rules=RULES,
        movements=own,
    )
    minutes = -(-_length_ms(len(own), rounds) // MS_PER_MIN)
    problem = pose(plan, Asked(minutes=minutes, room=room, first_side=learned.first_side))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None  # its minutes are made for it
    session = fitted(problem, solution).model_copy(update={"easy_movement": True})
    return session.with_work(lambda _, item: item.model_copy(update={"tempo": None}))
