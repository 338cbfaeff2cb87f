"""Simulated people run the sample plans at a pace of their own: how well is their finish predicted?

    python tests/pace_simulation.py

What makes up the time of one item, all of it multiplied:

- the person, evenly from 0.7 to 1.3 of what is stated: the ±30 % that the fit has to cope with;
- the item, log-normal with 10 %: one lingers over a stretch and hurries through arm circles;
- the day, log-normal with 5 %, the same for the whole session: tired, cold, in a good mood;
- the single repeat, log-normal with 10 %: some 3 s of 30 s.

The sizes of these three are † our judgement, no source. While they learn, one tick in 50 is a double tick by
accident and one in 50 holds an interruption of one to five minutes for which nobody pressed pause. The
sessions that are judged have neither: no estimate foresees a phone call, and the finish is then kept by
fitting the rest again.

Every session draws one of the sample plans, a kit and the minutes anew, so that what is learned has to carry
over to items and doses not met before.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from math import exp
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

if __name__ == "__main__":
    sys.path[:0] = [str(ROOT)]

from engine.choose import Room  # noqa: E402
from engine.fit import Asked, fitted, pose, solve  # noqa: E402
from engine.fitted import FittedSession  # noqa: E402
from engine.history import History, merged, ticked_item  # noqa: E402
from engine.movement import Kit  # noqa: E402
from engine.pace import PersonalPace, personal_pace  # noqa: E402
from engine.plan import SessionPlan  # noqa: E402
from engine.reading import read  # noqa: E402
from engine.segment import Pace, Segment  # noqa: E402
from engine.units import MS_PER_MIN, MS_PER_S  # noqa: E402

SAMPLES = ROOT / "companion" / "samples" / "plans"
SLOWEST, QUICKEST = 1.3, 0.7
OF_ITEM, OF_DAY, OF_REPEAT = 0.10, 0.05, 0.10
ACCIDENTS = 1 / 50
DOUBLE_TICK_MS = 300
NEAR_MS = 60 * MS_PER_S
FIRST_DAY = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)


class Person:
    """Someone with a pace of their own; all chance comes from the one generator."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.factor = chance.uniform(QUICKEST, SLOWEST)
        self.of_item: dict[str | None, float] = {}
        self.history = History()
        self.sessions = 0

    def lasting_ms(self, session: FittedSession, *, accidents: bool) -> list[tuple[Segment, int]]:
        """How long each self-paced item of a session really takes this time."""
        day = self._spread(OF_DAY)
        lasting = []
        for segment in (s for s in session.segments if s.pace is Pace.self):
            of_item = self.of_item.setdefault(segment.movement, self._spread(OF_ITEM))
            stated = ticked_item(session, segment, at=FIRST_DAY, taken_ms=1)
            assert stated is not None
            taken = stated.stated_ms * self.factor * of_item * day * self._spread(OF_REPEAT)
            lasting.append((segment, self._by_accident(round(taken)) if accidents else round(taken)))
        return lasting

    def learn(self, session: FittedSession) -> None:
        """Runs a session and remembers it."""
        at = FIRST_DAY + timedelta(days=2 * self.sessions)
        ticks = []
        for segment, taken_ms in self.lasting_ms(session, accidents=True):
            at += timedelta(milliseconds=taken_ms)
            ticks.append(ticked_item(session, segment, at=at, taken_ms=taken_ms))
        self.sessions += 1
        self.history = merged([self.history, History(ticked=tuple(t for t in ticks if t is not None))])

    def _spread(self, size: float) -> float:
        return exp(self.chance.gauss(0, size))

    def _by_accident(self, taken_ms: int) -> int:
        drawn = self.chance.random()
        if drawn < ACCIDENTS:
            return DOUBLE_TICK_MS
        return taken_ms + round(self.chance.uniform(1, 5) * MS_PER_MIN) if drawn < 2 * ACCIDENTS else taken_ms


def sample_plans() -> list[SessionPlan]:
    return [read(SessionPlan, path.read_bytes()) for path in sorted(SAMPLES.glob("*.json"))]


def some_session(plans: Sequence[SessionPlan], chance: random.Random, pace: PersonalPace) -> FittedSession:
    """A plan, a kit and minutes by chance, fitted for a pace."""
    plan, kit, minutes = chance.choice(plans), chance.choice(list(Kit)), chance.randint(25, 45)
    problem = pose(plan, Asked(minutes=minutes, room=Room(kit=kit), pace=pace))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None, "25 minutes are enough for every sample"
    return fitted(problem, solution)


def finish_within_60s_share(seed: int, *, people: int = 100, learned_from: int = 5, judged: int = 3) -> float:
    """The share of sessions whose finish is predicted within 60 s, after so many to learn from."""
    chance, plans, near = random.Random(seed), sample_plans(), 0
    for _ in range(people):
        person = Person(chance)
        for _ in range(learned_from):
            person.learn(some_session(plans, chance, personal_pace(person.history.ticked)))
        pace = personal_pace(person.history.ticked)
        near += sum(
            _missed_by_ms(person, some_session(plans, chance, pace)) <= NEAR_MS for _ in range(judged)
        )
    return near / (people * judged)


def _missed_by_ms(person: Person, session: FittedSession) -> int:
    """How far the session's real finish lies from the predicted one; what is clocked lasts as planned."""
    lasting = person.lasting_ms(session, accidents=False)
    return abs(sum(taken_ms - segment.planned_ms for segment, taken_ms in lasting))


if __name__ == "__main__":
    for sessions in (0, 1, 2, 5, 10):
        share = finish_within_60s_share(1, people=200, learned_from=sessions)
        print(f"after {sessions:>2} sessions: {share:.1%} within 60 s")
