"""Eight invented weeks for ``--demo``: sample plans, really fitted and run, with one person's answers.

The tables below tell the whole story; what is lifted is what the engine proposes from the sessions before.
Nothing is random, so the same day gives the same history.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import cycle
from pathlib import Path
from typing import Literal, NamedTuple
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from companion.samples import sample_plans
from companion.words.saying import msgid, say
from engine.base.units import MS_PER_S
from engine.growth.free import as_grown
from engine.live import events, run
from engine.live.state import RunState
from engine.live.timing import remaining_at
from engine.load.proposal import PRACTICE_PERCENT, LoadProposal, LoadStep
from engine.load.rack import Rack, at_most
from engine.load.session_loads import as_proposed
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import PainKind, PainNote
from engine.movements.room import SoreJoint
from engine.plan.plan import SessionPlan
from engine.record.history import History, history_of, merged
from engine.record.profile import Profile
from engine.record.record import LimitedBy, LogAnswers, Record, SetAnswer, SetDone
from engine.record.recording import record_from, sets_of
from engine.record.sets import hurt_sets
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Pace, Segment
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.loads import free_for, loads_for
from engine.today.no_session import NoSession
from engine.today.question import answer
from storage.folder.location import default_folder
from storage.models import KitOwned
from storage.store import Store

WEEKS = 8
NAME = msgid("Ilka")
DOORBELL = msgid("The doorbell in round 2.")


class Turn(NamedTuple):
    """What happens in one work interval, how many seconds into it, and for how long it interrupts."""

    movement: str
    round: int
    into_s: int
    what: Literal["pause", "form_slipped", "sore_knee"]
    for_s: int = 0


class Day(NamedTuple):
    """One session. ``weekday`` 0 is Monday; ``plan`` counts the samples from 0; ``knee`` is its pain."""

    week: int
    weekday: int
    at: time
    plan: int
    minutes: int
    effort: float
    turn: Turn | None = None
    knee: int = 0
    note: str = ""


STORY = (
    Day(1, 0, time(18, 30), 0, 25, 5),
    Day(1, 2, time(18, 40), 1, 30, 5.5),
    Day(1, 4, time(19, 5), 2, 25, 4),
    Day(2, 0, time(18, 30), 0, 30, 6),
    Day(
        2,
        2,
        time(18, 35),
        1,
        30,
        6,
        Turn("wide-row", 2, 22, "pause", 95),
        note=msgid("The doorbell in round 2."),
    ),
    Day(2, 4, time(17, 50), 3, 35, 6),
    Day(3, 0, time(18, 30), 0, 35, 6.5),
    Day(
        3,
        2,
        time(18, 45),
        1,
        35,
        7,
        Turn("wide-row", 3, 18, "form_slipped", 12),
        note=msgid("My back rounded once."),
    ),
    Day(3, 4, time(18, 10), 4, 25, 6),
    Day(4, 0, time(20, 15), 0, 16, 5, note=msgid("Late home, a short one.")),
    Day(4, 2, time(18, 30), 1, 35, 7),
    Day(
        4,
        4,
        time(18, 0),
        3,
        40,
        7,
        Turn("side-lunge", 2, 21, "sore_knee"),
        note=msgid("Stopped when the knee hurt."),
    ),
    # No session in week 5, after the sore knee.
    Day(6, 0, time(18, 30), 2, 18, 4, knee=2),
    Day(6, 3, time(18, 30), 4, 18, 4.5, knee=1),
    Day(7, 0, time(18, 30), 0, 30, 6, note=msgid("No pain this morning.")),
    Day(7, 2, time(18, 40), 1, 35, 6.5),
    Day(7, 4, time(18, 55), 2, 30, 5),
    Day(8, 0, time(18, 30), 0, 35, 6.5),
    Day(8, 2, time(18, 35), 1, 35, 7, Turn("overhead-press", 3, 15, "pause", 40)),
    Day(8, 4, time(18, 5), 3, 40, 7),
)

STARTS_KG = {
    "racked-squat": 6,
    "split-squat": 4,
    "alternating-step-back-lunge": 4,
    "side-lunge": 5,
    "romanian-deadlift": 10,
    "two-hand-deadlift": 12,
    "bent-over-row": 7,
    "floor-press": 6,
    "two-hand-press": 8,
}
"""What she knows that she can lift, the first time a movement comes for which the coach names no start."""
SORE_KNEE = PainNote(session_ms=0, kind=PainKind.joint, joint=Joint.knee, side=Side.left, rating=4)
RACK = Rack.of_weights(range(2_000, 17_000, 1_000))
"""The dumbbells of the boathouse, one of each whole kilogram from 2 to 16."""
OWN_PACE_PERCENT = (100, 92, 110, 85, 120, 97)
"""How long successive self-paced items really take, as a percentage of their estimate."""
HARDER_BY_ROUND = (-0.5, 0.0, 0.0, 0.5, 1.0)
"""What each round adds to the effort of the session."""
SHORT_FROM = ((8.0, 2), (7.5, 1))
"""From what effort of a set how many repetitions are missing."""


def demo_folder() -> Path:
    """The demo's own folder, beside the one for real records."""
    folder = default_folder()
    return folder.with_name(f"{folder.name}-demo")


async def make_demo(store: Store, *, today: date, zone: str = "Europe/Lisbon") -> None:
    """Fills an empty store with an invented history that ends the day before ``today``.

    Leaves a store with a profile alone, so that nothing invented is mixed into real records. The profile is
    written last: a demo that was interrupted is completed at the next start.
    """
    if await store.person.profile() is not None:
        return
    days = story_until(today - timedelta(days=1))
    read_at = datetime.combine(days[0][1], time(12), ZoneInfo(zone))
    profile = Profile(trainee_id=_id("trainee"), name=say(NAME), zone=zone, cautions_read_at=read_at)
    await store.person.save_kit(KitOwned(dumbbells=Kit.single, rack=RACK))
    plans = sample_plans()
    for plan in plans:
        await store.plans.save(plan)
    known = {record.id for record in await store.sessions.records()}
    for record in demo_records(days, plans, profile):
        if record.id not in known:
            await store.sessions.save(record)
    await store.person.save_profile(profile)


def story_until(last: date) -> tuple[tuple[Day, date], ...]:
    """Each session with its date. The last week's sessions are on ``last`` and every other day before it."""
    monday = last - timedelta(days=last.weekday())
    earlier = [day for day in STORY if day.week < WEEKS]
    final = [day for day in STORY if day.week == WEEKS]
    told = [(day, monday + timedelta(weeks=day.week - WEEKS, days=day.weekday)) for day in earlier]
    closing = [(day, last - timedelta(days=2 * back)) for back, day in enumerate(reversed(final))]
    return (*told, *((day, on) for day, on in reversed(closing) if on >= monday))


def demo_records(
    days: Iterable[tuple[Day, date]], plans: Sequence[SessionPlan], profile: Profile
) -> Iterator[Record]:
    """The sessions of the story in order, each fitted and loaded from those before it.

    Raises LookupError where nothing fits its minutes.
    """
    history = History()
    for told, day in days:
        record = _record(told, day, plans[told.plan], profile, Learned.from_history(history))
        history = merged((history, history_of((record,))))
        yield record


def _record(told: Day, day: date, plan: SessionPlan, profile: Profile, learned: Learned) -> Record:
    """One session, fitted, run and logged."""
    started_at = datetime.combine(day, told.at, ZoneInfo(profile.zone))
    state = _Run(_session(told, day, plan, learned), started_at).to_its_end(told.turn)
    ended_at = started_at + timedelta(milliseconds=state.at_ms)
    answers, record_id = _answers(state, told), _id(f"week {told.week} session {told.weekday}")
    return record_from(
        state, answers, record_id=record_id, profile=profile, started_at=started_at, ended_at=ended_at
    )


def _session(told: Day, day: date, plan: SessionPlan, learned: Learned) -> FittedSession:
    """The answer of the day as the application starts it. She rates the knee every time."""
    knee = SoreJoint(joint=Joint.knee, side=Side.left, rating=told.knee) if told.knee else None
    today = Today(
        day=day,
        minutes=told.minutes,
        kit=Kit.single,
        sore=(knee,) if knee else (),
        rated=frozenset({(Joint.knee, Side.left)}),
    )
    made, past = answer(plan, today, learned, RACK), learned.history.exposures
    if isinstance(made, NoSession) or made.offer.session is None:
        raise LookupError(f"“{plan.name}” cannot be done in {told.minutes} minutes.")
    session = made.offer.session
    free = free_for(session, past, today=day)
    loads = map(_known_start, loads_for(session, past, RACK, today=day))
    return as_grown(as_proposed(session, loads), free).with_sound_holds(learned.sound_holds)


def _known_start(one: LoadProposal) -> LoadProposal:
    """The proposal, or the weight that she knows where it is the first time."""
    if one.step is not LoadStep.first_time:
        return one
    start_g = STARTS_KG[one.key.movement] * 1_000
    practice_g = at_most(RACK.loads_g(1), start_g * PRACTICE_PERCENT // 100)
    return one.model_copy(update={"load_g": start_g, "practice_g": practice_g})


@dataclass
class _Run:
    """A session run as the application runs it: events in order, with a mark where each segment begins."""

    session: FittedSession
    started_at: datetime
    now_ms: int = 0

    def to_its_end(self, turn: Turn | None) -> RunState:
        """Runs until the session is over; ``turn`` happens on the way."""
        self.state, pace = run.begin(self.session), cycle(OWN_PACE_PERCENT)
        self._event(events.Started)
        while (current := self.state.current) is not None and self.state.ending is None:
            where = current.movement, current.round
            if turn is not None and current.kind is Kind.work and where == (turn.movement, turn.round):
                self._take(turn, current)
                turn = None
                continue
            if current.pace is Pace.self:
                self.now_ms += current.planned_ms * next(pace) // 100
                self._event(events.Ticked)
            else:
                self.now_ms += remaining_at(self.state, self.now_ms)
                self.state = run.at(self.state, self.now_ms)
            if self.state.current is not None:
                self._event(events.Mark, segment_id=self.state.current.id)
        return self.state

    def _event(self, kind: type[events.Event], **fields: object) -> None:
        wall = self.started_at + timedelta(milliseconds=self.now_ms)
        seq = self.state.seq + 1
        event = kind(seq=seq, id=f"{seq}", session_ms=self.now_ms, wall=wall, **fields)
        self.state = run.advance(self.state, event)

    def _take(self, turn: Turn, current: Segment) -> None:
        self.now_ms += turn.into_s * MS_PER_S
        if turn.what == "sore_knee":
            where = {"session_ms": self.now_ms, "segment_id": current.id, "movement": current.movement}
            self._event(events.Hurt, pain=SORE_KNEE.model_copy(update=where))
            self._event(events.Ended, ending=events.Ending.pain)
            return
        self._event(events.Paused if turn.what == "pause" else events.FormSlipped)
        self.now_ms += turn.for_s * MS_PER_S
        self._event(events.Resumed)


def _answers(state: RunState, told: Day) -> LogAnswers:
    """What she logs: how each set was."""
    lost = {loss.segment_id for loss in state.lost}
    held = [
        done.segment_id not in lost for done in state.done if state.by_id[done.segment_id].kind is Kind.work
    ]
    sets, hurt = sets_of(state, LogAnswers()), hurt_sets(state.pains, state.by_id)
    said = {
        done.key: _answer(done, told.effort, position).model_copy(
            update={"limited_by": LimitedBy.joint if done.key in hurt else None}
        )
        for done, position in zip(sets, held, strict=True)
    }
    return LogAnswers(exceptions=said, effort=told.effort, note=say(told.note))


def _answer(done: SetDone, effort: float, form_held: bool) -> SetAnswer:
    felt = effort + HARDER_BY_ROUND[min(done.round, len(HARDER_BY_ROUND)) - 1]
    missing = next((count for from_effort, count in SHORT_FROM if felt >= from_effort), 0)
    repetitions = None if done.planned_repetitions is None else max(0, done.planned_repetitions - missing)
    return SetAnswer(repetitions=repetitions, effort=felt, form_held=form_held)


def _id(what: str) -> str:
    return str(uuid5(NAMESPACE_URL, f"session-companion:demo:{what}"))
