"""Builders with valid defaults, so that a test says only what it is about. They need nothing but the engine.

The movements are the tests' own and travel in the plan, so that a change of the library changes no test.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Any

from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.live.events import EVENTS, Event, RunningRecord
from engine.live.run import advance, begin
from engine.live.state import RunState
from engine.movements.movement import Joint, Kit, Movement, MovementPattern, Region, Side, Sides, Variant
from engine.movements.pain import PainKind, PainNote
from engine.movements.room import Room, SoreJoint
from engine.plan.adjustment import Adjustment
from engine.plan.plan import (
    Amount,
    CoolDownBlock,
    PracticeBlock,
    RoundsRange,
    SessionPlan,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
)
from engine.record.history import History
from engine.record.noted_pain import NotedPain
from engine.record.profile import Profile
from engine.record.record import LogAnswers, Record
from engine.record.recording import record_from
from engine.session.choices import Choices, ChosenByBlock
from engine.session.fitted import FittedSession
from engine.session.segment import Segment
from engine.session.timeline import block_segments, joined
from engine.session.to_lift import ToLift
from engine.today.day import Today
from engine.today.easy_movement import easy_movement
from engine.today.learned import Learned
from engine.today.no_session import AboutPain, no_session

STARTED_AT = datetime(2026, 3, 2, 18, 30, tzinfo=UTC)
"""A Monday."""

PLACING = "Two hands to the floor, back long."


def movement(slug: str, *, sides: Sides = Sides.none, **fields: Any) -> Movement:
    """A movement with a variant for each kit; a working leg changes sides without a weight too."""
    on_floor = fields.pop("on_floor", False)
    grip_heavy = fields.pop("grip_heavy", False)
    shared = {"on_floor": on_floor, "grip_heavy": grip_heavy}
    free = sides if sides is Sides.leg else Sides.none
    variants = (
        Variant(id="free", name="Without a weight", kit=Kit.none, sides=free, **shared),
        Variant(id="one", name="One weight", kit=Kit.single, sides=sides, placing=PLACING, **shared),
        Variant(id="two", name="Two weights", kit=Kit.pair, sides=sides, placing=PLACING, **shared),
    )
    defaults: dict[str, Any] = {
        "name": slug.replace("-", " ").capitalize(),
        "pattern": MovementPattern.squat,
        "region": Region.lower_body,
        "variants": variants,
        "cues": ("Keep your shape.",),
        "end_point": "As far as the shape holds.",
    }
    return Movement(slug=slug, **(defaults | fields))


BOTH = movement("both-hands-lift", pattern=MovementPattern.hinge)
HAND = movement(
    "one-hand-press",
    sides=Sides.hand,
    pattern=MovementPattern.vertical_push,
    region=Region.upper_body,
)
LEG = movement("one-leg-stand", sides=Sides.leg, pattern=MovementPattern.lunge)
FLOOR = movement(
    "floor-roll", on_floor=True, pattern=MovementPattern.trunk, region=Region.trunk, stress={"neck": 1}
)
BEND = movement("easy-bend", pattern=MovementPattern.mobility)
TURN = movement("easy-turn", pattern=MovementPattern.mobility, region=Region.trunk)
TEST_MOVEMENTS = (BOTH, HAND, LEG, FLOOR, BEND, TURN)


def warm_up(**fields: Any) -> WarmUpBlock:
    items = (
        WarmUpItem(movement=BEND.slug, amount=Amount(low=10), estimate_s=60),
        WarmUpItem(movement=TURN.slug, amount=Amount(low=10), estimate_s=90),
    )
    return WarmUpBlock(**({"id": "warm-up", "items": items, "rounds": RoundsRange(min=1, max=2)} | fields))


def practice(**fields: Any) -> PracticeBlock:
    return PracticeBlock(**({"id": "practice", "movements": (BOTH.slug, HAND.slug, LEG.slug)} | fields))


def work(*slugs: str, **fields: Any) -> WorkBlock:
    named = slugs or (BOTH.slug, HAND.slug, LEG.slug)
    defaults = {
        "id": "circuit",
        "movements": tuple(WorkMovement(movement=slug) for slug in named),
        "rounds": RoundsRange(min=2, max=4),
        "work_s": 60,
        "rest_s": 30,
    }
    return WorkBlock(**(defaults | fields))


def permitting(of: SessionPlan, fewest: int = 1) -> SessionPlan:
    """The plan with fewer rounds permitted in each of its work blocks where the minutes are short."""
    blocks = list(of.blocks)
    for at, block in enumerate(blocks):
        if isinstance(block, WorkBlock):
            rounds = block.rounds.model_copy(update={"fewest": min(fewest, block.rounds.min)})
            blocks[at] = block.model_copy(update={"rounds": rounds})
    return of.model_copy(update={"blocks": tuple(blocks)})


def cool_down(**fields: Any) -> CoolDownBlock:
    return CoolDownBlock(**({"id": "cool-down", "movements": (BEND.slug,), "duration_s": 300} | fields))


def plan(*blocks: Any, **fields: Any) -> SessionPlan:
    """A plan of the given blocks: warm-up, practice and a circuit of three where none are given."""
    defaults = {
        "id": "test-plan",
        "name": "Test plan",
        "blocks": blocks or (warm_up(), practice(), work()),
        "movements": TEST_MOVEMENTS,
    }
    return SessionPlan(**(defaults | fields))


def session(
    of: SessionPlan | None = None, *, minutes: float = 30, kit: Kit = Kit.single, **asked: Any
) -> FittedSession:
    """The best session of a plan. Raises AssertionError if nothing fits."""
    problem = pose(of or plan(), Asked(minutes=minutes, room=Room(kit=kit), **asked))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None, "nothing fits"
    return fitted(problem, solution)


def compile_plan(of: SessionPlan, choices: Choices, movements: ChosenByBlock) -> tuple[Segment, ...]:
    """Every segment of a session, in order, for choices that need not be the best."""
    return joined(of, (block_segments(of, block, choices, movements) for block in of.blocks))


def short_session(**fields: Any) -> FittedSession:
    """Lead-in 10 s, then twice: one hand 30 s, change 10 s, other hand 30 s; 30 s of rest between."""
    rounds = RoundsRange(min=2, max=2)
    return session(plan(work(HAND.slug, rounds=rounds)), minutes=5, **fields)


def easy_session(
    joint: Joint = Joint.knee, side: Side | None = Side.left, rating: int = 7, **fields: Any
) -> FittedSession:
    """The easy movement of somebody whose joint hurts too much for a session, with every answer no.

    ``fields`` are those of ``Today``. Raises AssertionError where there is none.
    """
    sore = (SoreJoint(joint=joint, side=side, rating=rating), *fields.pop("also_sore", ()))
    today = Today(**({"day": STARTED_AT.date(), "minutes": 30, "sore": sore} | fields))
    none_of_them = dict.fromkeys(AboutPain, False)
    why = no_session(today.sore)
    assert why is not None
    found = easy_movement(why, none_of_them, today, Learned.from_history(History()))
    session = found.session if found else None
    assert session is not None, "no easy movement"
    return session


class Journal:
    """Writes events one after another, and knows the state they lead to."""

    def __init__(self, of: FittedSession, *, started_at: datetime = STARTED_AT) -> None:
        self.session = of
        self.started_at = started_at
        self.events: list[Event] = []
        self.state: RunState = begin(of)

    def write(self, kind: str, session_ms: int, **fields: Any) -> Journal:
        seq = len(self.events) + 1
        event = EVENTS.validate_python(
            {
                "kind": kind,
                "seq": seq,
                "id": f"event-{seq}",
                "session_ms": session_ms,
                "wall": self.started_at + timedelta(milliseconds=session_ms),
                **fields,
            }
        )
        self.events.append(event)
        self.state = advance(self.state, event)
        return self

    def record(self) -> RunningRecord:
        return RunningRecord(
            run_id="run-1",
            started_at=self.started_at,
            zone="UTC",
            finish_at=self.started_at + timedelta(milliseconds=self.session.total_ms),
            session=self.session,
            events=tuple(self.events),
        )


def journal(of: FittedSession | None = None) -> Journal:
    """A session that has just been started."""
    return Journal(of or short_session()).write("started", 0)


def pain(**fields: Any) -> PainNote:
    defaults = {"session_ms": 0, "kind": PainKind.joint, "joint": "knee", "side": "left", "rating": 2}
    return PainNote(**(defaults | fields))


def noted_pain(**fields: Any) -> NotedPain:
    """Pain of the left knee, 6 of 10, noted without a session."""
    at = fields.pop("at", STARTED_AT)
    defaults = {
        "id": "note-1",
        "trainee_id": profile().trainee_id,
        "at": at,
        "local_date": at.date(),
        "kind": PainKind.joint,
        "joint": "knee",
        "side": "left",
        "rating": 6,
    }
    return NotedPain(**(defaults | fields))


def profile(**fields: Any) -> Profile:
    return Profile(**({"trainee_id": "6f1c2f0e-0c4e-4d38-9d4b-0a6f5a1b7c11", "name": "Runa"} | fields))


def adjustment(**fields: Any) -> Adjustment:
    """A coach who spares the left knee for a week."""
    defaults: dict[str, Any] = {
        "trainee": "Runa",
        "author": "Odd",
        "made_at": STARTED_AT,
        "until": STARTED_AT.date() + timedelta(days=7),
        "changes": ({"kind": "spare", "joint": "knee", "side": "left"},),
    }
    return Adjustment.model_validate(defaults | fields)


def record(
    of: FittedSession | None = None,
    *,
    started_at: datetime = STARTED_AT,
    record_id: str = "record-1",
    loads_g: Mapping[str, int] = MappingProxyType({}),
    **answers: Any,
) -> Record:
    """The record of a session that ran to its end; self-paced items are ticked at their estimates.

    ``loads_g``, by movement, were told at the start.
    """
    to_lift = {slug: ToLift(load_g=load_g) for slug, load_g in loads_g.items()}
    session = (of or short_session()).with_loads(to_lift)
    run = Journal(session, started_at=started_at).write("started", 0)
    at_ms = 0
    for segment in run.session.segments:
        at_ms += segment.planned_ms
        if segment.pace == "self":
            run.write("ticked", at_ms)
    return logged(run.write("ended", at_ms, ending="finished"), record_id=record_id, **answers)


def logged(run: Journal, *, record_id: str = "record-1", **answers: Any) -> Record:
    """The record of a run that has ended."""
    return record_from(
        run.state,
        LogAnswers(**answers),
        record_id=record_id,
        profile=profile(),
        started_at=run.started_at,
        ended_at=run.started_at + timedelta(milliseconds=run.state.at_ms),
    )
