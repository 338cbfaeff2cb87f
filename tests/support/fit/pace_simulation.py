"""Simulated people run the sample plans at their own pace: how well is their finish predicted?

    python3 build/dev.py renew pace_simulation

The time of one item is the stated time multiplied by four factors:

- the person, uniform from 0.7 to 1.3: the ±30 % that the fit has to cope with;
- the item, log-normal with 10 %: one lingers over a stretch and hurries through arm circles;
- the day, log-normal with 5 %, the same for the whole session: tired, cold, in a good mood;
- the single repeat, log-normal with 10 %: some 3 s of 30 s.

The sizes of the last three are † our judgement, no source. While a person's pace is learned, one tick in 50
is an accidental double tick, and one in 50 contains an interruption of one to five minutes without a pause.
The sessions that are judged have neither: no estimate foresees a phone call, and a re-fit then keeps the
finish.

Every session draws a sample plan, a kit and the minutes, so that what is learned has to carry over to items
and amounts not met before.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from math import exp
from typing import NamedTuple

from builders import compile_plan
from places import SAMPLES

from engine.base.reading import read
from engine.base.units import MS_PER_MIN, MS_PER_S
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import SessionPlan
from engine.record.history import History, merged, ticked_item
from engine.session.fitted import FittedSession
from engine.session.pace import PersonalPace, personal_pace
from engine.session.segment import Pace, Segment, total_ms

SLOWEST, QUICKEST = 1.3, 0.7
OF_ITEM, OF_DAY, OF_REPEAT = 0.10, 0.05, 0.10
ACCIDENTS = 1 / 50
DOUBLE_TICK_MS = 300
NEAR_MS = 60 * MS_PER_S
FIRST_DAY = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)


class Outing(NamedTuple):
    """A session as planned for someone, and the stated lengths of its self-paced items."""

    session: FittedSession
    stated: tuple[Segment, ...]

    @property
    def planned(self) -> tuple[Segment, ...]:
        return _self_paced(self.session.segments)


class Person:
    """Someone with their own pace; all randomness comes from one generator."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.factor = chance.uniform(QUICKEST, SLOWEST)
        self.of_item: dict[str | None, float] = {}
        self.history = History()
        self.sessions = 0

    def lasting_ms(self, outing: Outing) -> list[int]:
        """How long each self-paced item of a session really takes this time."""
        day = self._spread(OF_DAY)
        return [
            round(segment.planned_ms * self.factor * self._of(segment) * day * self._spread(OF_REPEAT))
            for segment in outing.stated
        ]

    def learn(self, outing: Outing) -> None:
        """Runs a session, accidents included, and learns from it."""
        at = FIRST_DAY + timedelta(days=2 * self.sessions)
        ticks = []
        for segment, lasting_ms in zip(outing.planned, self.lasting_ms(outing), strict=True):
            taken_ms = self._by_accident(lasting_ms)
            at += timedelta(milliseconds=taken_ms)
            ticks.append(ticked_item(outing.session, segment, at=at, taken_ms=taken_ms))
        self.sessions += 1
        self.history = merged([self.history, History(ticked=tuple(t for t in ticks if t is not None))])

    def _of(self, segment: Segment) -> float:
        return self.of_item.setdefault(segment.movement, self._spread(OF_ITEM))

    def _spread(self, size: float) -> float:
        return exp(self.chance.gauss(0, size))

    def _by_accident(self, taken_ms: int) -> int:
        drawn = self.chance.random()
        if drawn < ACCIDENTS:
            return DOUBLE_TICK_MS
        return taken_ms + round(self.chance.uniform(1, 5) * MS_PER_MIN) if drawn < 2 * ACCIDENTS else taken_ms


def _self_paced(segments: Iterable[Segment]) -> tuple[Segment, ...]:
    return tuple(segment for segment in segments if segment.pace is Pace.self)


def sample_plans() -> list[SessionPlan]:
    return [read(SessionPlan, path.read_bytes()) for path in sorted(SAMPLES.glob("*.json"))]


def some_outing(plans: Sequence[SessionPlan], chance: random.Random, pace: PersonalPace) -> Outing:
    """A random plan, kit and minutes, fitted for a pace."""
    plan, kit, minutes = chance.choice(plans), chance.choice(list(Kit)), chance.randint(25, 45)
    problem = pose(plan, Asked(minutes=minutes, room=Room(kit=kit), pace=pace))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None, "25 minutes are enough for every sample"
    session = fitted(problem, solution)
    as_stated = session.choices.model_copy(update={"pace": PersonalPace()})
    stated = compile_plan(plan, as_stated, problem.choice.by_block)
    return Outing(session, _self_paced(stated))


def finish_within_60s_share(seed: int, *, people: int = 200, learned_from: int = 5, judged: int = 3) -> float:
    """The share of sessions whose finish is predicted within 60 s, after ``learned_from`` sessions."""
    chance, plans, near = random.Random(seed), sample_plans(), 0
    for _ in range(people):
        person = Person(chance)
        for _ in range(learned_from):
            person.learn(some_outing(plans, chance, personal_pace(person.history.ticked)))
        pace = personal_pace(person.history.ticked)
        outings = [some_outing(plans, chance, pace) for _ in range(judged)]
        near += sum(missed_by_ms(person, outing) <= NEAR_MS for outing in outings)
    return near / (people * judged)


def missed_by_ms(person: Person, outing: Outing) -> int:
    """How far the real finish is from the predicted one, in ms; clocked parts last as planned."""
    return abs(sum(person.lasting_ms(outing)) - total_ms(outing.planned))


def main() -> int:
    for sessions in (0, 1, 2, 5, 10):
        share = finish_within_60s_share(1, learned_from=sessions)
        print(f"after {sessions:>2} sessions: {share:.1%} within 60 s")
    return 0
