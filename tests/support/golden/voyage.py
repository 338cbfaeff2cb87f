"""The story behind the golden examples: one plan, fitted, run, logged and corrected.

The files of tests/golden are frozen: every later version has to read what an earlier one wrote. Write them
again only when a format gets a new version:

    python3 build/dev.py renew voyage
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta, timezone
from typing import TypeVar

from builders import Journal
from places import GOLDEN
from pydantic import BaseModel

from engine.base.message import Own
from engine.base.reading import read
from engine.base.units import LoadUnit
from engine.coach.page import CoachPage, PageAsked, page_from
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.formats import FORMATS
from engine.live.events import RunningRecord
from engine.live.run import at, replay
from engine.live.timing import remaining_at
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import PainKind, PainNote, PainQuality
from engine.movements.room import Room, SoreJoint
from engine.plan.adjustment import (
    Adjustment,
    LeaveOut,
    MinutesHint,
    NextWeight,
    Remark,
    RoundsLimit,
    SpareJoint,
)
from engine.plan.link import fragment
from engine.plan.plan import SessionPlan
from engine.record.amendment import AmendedField, Amendment
from engine.record.noted_pain import NotedPain
from engine.record.profile import Profile, ProfileFlag
from engine.record.record import LimitedBy, LogAnswers, Record, SetAnswer, set_key
from engine.record.recording import record_from
from engine.session.fitted import FittedSession
from engine.session.to_lift import ToLift

Document = TypeVar("Document", bound=BaseModel)

STARTED_AT = datetime(2026, 10, 24, 23, 50, tzinfo=timezone(timedelta(hours=2)))
"""Ten minutes before the night in which Europe's clocks go back."""

LINKED: dict[str, type[SessionPlan | Adjustment]] = {"plan": SessionPlan, "adjustment": Adjustment}
"""The documents that links carry, in the order of the lines of links-5.txt."""

ASKED = Asked(
    minutes=15,
    room=Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.knee, side=Side.right, rating=2),)),
    first_side=Side.right,
)

TO_LIFT = {
    "crate-lift": ToLift(load_g=14_000, heavier_g=16_000, heavier_rounds=1, practice_g=7_000),
    "lantern-press": ToLift(load_g=8_000, practice_g=4_000),
}
ANSWERS = LogAnswers(
    exceptions={
        set_key("crossing", 2, 2, "lantern-press", Side.left): SetAnswer(
            load_g=6_000, repetitions=6, effort=8.5, form_held=False, limited_by=LimitedBy.grip
        )
    },
    effort=6.5,
    note="Swell all night; the second round was a balance exercise.",
)


def golden(name: str) -> str:
    """A frozen file as text."""
    return (GOLDEN / f"{name}.json").read_text("utf-8")


def frozen(model: type[Document], name: str) -> Document:
    return read(model, golden(name))


def fit_the_plan() -> FittedSession:
    problem = pose(frozen(SessionPlan, "plan"), ASKED)
    solution = solve(problem, ASKED.budget_ms)
    assert solution is not None
    return fitted(problem, solution)


def log(run: RunningRecord, profile: Profile) -> Record:
    """The record of a run as logged."""
    state = replay(run)
    return record_from(
        state,
        ANSWERS,
        record_id="8d2f6b7e-93a4-4f5b-8a61-5f0de4c1a902",
        profile=profile,
        started_at=run.started_at,
        ended_at=run.started_at + timedelta(milliseconds=state.at_ms),
    )


def page_for_the_coach() -> CoachPage:
    """The frozen record as the person hands it over: two weeks, the first without a session."""
    return page_from(
        [frozen(Record, "record")],
        [frozen(Amendment, "amendment")],
        profile=frozen(Profile, "profile"),
        asked=PageAsked(
            weeks=("2026-W42", "2026-W43"),
            questions=(Own(own="Is the crate lift too heavy for the right hand?"),),
        ),
        made_at=STARTED_AT + timedelta(hours=10),
        pain_notes=[frozen(NotedPain, "pain-note")],
    )


def _profile() -> Profile:
    return Profile(
        trainee_id="3c9a1f52-6d0e-4b7a-9f43-c1d5a8e27b60",
        name="Wilm Aderet",
        zone="Europe/Berlin",
        unit=LoadUnit.kg,
        flags=(ProfileFlag.older,),
        cautions_read_at=datetime(2026, 10, 1, 7, 0, tzinfo=UTC),
    )


def _run(session: FittedSession) -> RunningRecord:
    """A run with a pause, more rest, a lost position, a pain note and a skipped cool-down."""
    run = Journal(session.with_loads(TO_LIFT), started_at=STARTED_AT).write("started", 0)
    run.write("ticked", 50_000).write("hold_started", 53_000).write("hold_stopped", 61_000)
    run.write("hold_started", 63_000).write("ticked", 95_000)
    first = "crossing:1:1:crate-lift:both:work"
    _to(run, first).write("mark", run.state.at_ms, segment_id=first)
    run.write("paused", run.state.at_ms + 20_000).write("resumed", run.state.at_ms + 13_250)
    _to(run, "crossing:1:3:heel-tap-step:rest").write("more_rest", run.state.at_ms + 4_000, added_ms=15_000)
    _to(run, "crossing:2:2:lantern-press:left:work").write("form_slipped", run.state.at_ms + 12_000)
    run.write("resumed", run.state.at_ms + 9_000)
    _to(run, "crossing:2:3:heel-tap-step:right:work")
    note = PainNote(
        session_ms=run.state.at_ms + 8_000,
        segment_id="crossing:2:3:heel-tap-step:right:work",
        movement="heel-tap-step",
        kind=PainKind.joint,
        joint=Joint.knee,
        side=Side.right,
        rating=1,
        words="A dull ache below the kneecap.",
    )
    run.write("hurt", note.session_ms, pain=note).write("resumed", note.session_ms + 40_000)
    run.write("skipped", run.state.at_ms + 1_000)
    run.write("ended", run.state.at_ms + 70_000, ending="early")
    return run.record().model_copy(
        update={"run_id": "51f0c3b8-7a2d-4d39-8f0e-2b6c9d7e4a13", "zone": "Europe/Berlin"}
    )


def _to(run: Journal, segment_id: str) -> Journal:
    """Lets the clock run to the start of a segment."""
    while run.state.current is not None and run.state.current.id != segment_id:
        run.state = at(run.state, run.state.at_ms + remaining_at(run.state, run.state.at_ms))
    return run


def _amendment(record: Record) -> Amendment:
    return Amendment(
        id="e07b5d64-2c18-4a9f-b3d7-90c46f1a8e25",
        record_id=record.id,
        at=STARTED_AT + timedelta(hours=9),
        field=AmendedField.set,
        value={
            "key": set_key("crossing", 1, 1, "crate-lift", Side.both),
            "answer": {"load_g": 18_000, "repetitions": 14, "effort": 7},
        },
    )


def _adjustment(profile: Profile) -> Adjustment:
    return Adjustment(
        trainee_id=profile.trainee_id,
        trainee=profile.name,
        plan_id="ferry-shed",
        author="Tamsin Okoro",
        made_at=STARTED_AT + timedelta(days=2),
        until=date(2026, 11, 8),
        changes=(
            SpareJoint(joint=Joint.knee, side=Side.right, until=date(2026, 11, 1)),
            RoundsLimit(rounds=1, exact=True),
            NextWeight(movement="crate-lift"),
            NextWeight(movement="lantern-press", after_one=True),
            LeaveOut(movement="heel-tap-step"),
            MinutesHint(minutes=12),
            Remark(text="The knee first; the ferry can wait. <b>No</b> heroics ⛴."),
        ),
    )


def _pain_note(profile: Profile) -> NotedPain:
    at = STARTED_AT - timedelta(days=1, hours=2)
    return NotedPain(
        id="b4d9c1e7-5f20-4c6b-9e11-7a3d08f2c655",
        trainee_id=profile.trainee_id,
        at=at,
        local_date=at.date(),
        kind=PainKind.joint,
        joint=Joint.knee,
        side=Side.right,
        rating=6,
        qualities=(PainQuality.giving_way,),
        words="On the stairs, with nothing in hand.",
    )


def _write(name: str, document: BaseModel) -> None:
    assert isinstance(document, FORMATS[name])
    text = json.dumps(document.model_dump(mode="json"), indent=1, ensure_ascii=False)
    (GOLDEN / f"{name}.json").write_text(text + "\n", "utf-8")


def main() -> int:
    session, profile = fit_the_plan(), _profile()
    run = _run(session)
    record = log(run, profile)
    _write("plan", frozen(SessionPlan, "plan"))
    _write("fitted-session", session)
    _write("running-record", run)
    _write("record", record)
    _write("amendment", _amendment(record))
    _write("profile", profile)
    _write("pain-note", _pain_note(profile))
    _write("coach-page", page_for_the_coach())
    _write("adjustment", _adjustment(profile))
    links = [fragment(frozen(model, name)) for name, model in LINKED.items()]
    (GOLDEN / "links-5.txt").write_text("\n".join(links) + "\n", "utf-8")
    return 0
