"""Builders of pages for the coach, with valid defaults. They need nothing but the engine."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import Any

from builders import HAND, STARTED_AT, Journal, logged, pain, profile, short_session
from reasons_said import hands_inside, swapped_for_a_knee

from engine.base.message import Own, message
from engine.coach.page import CoachPage, PageAsked, page_from
from engine.coach.withheld import PageChoice
from engine.live.timing import remaining_at
from engine.movements.movement import Joint, Kit, Side
from engine.movements.room import Room, SoreJoint
from engine.movements.terms import joint_term
from engine.record.amendment import AmendedField, Amendment
from engine.record.record import LimitedBy, Record, SetAnswer, set_key
from engine.session.fitted import FittedSession

MADE_AT = datetime(2026, 3, 8, 20, 0, tzinfo=UTC)
WEEK = "2026-W10"
"""The week of ``STARTED_AT``, Monday 2 March."""
SPARED = message("spares_joint", joint=joint_term((Joint.elbow, Side.left)))
SIDE_LEFT, SIDE_RIGHT = (set_key("circuit", 1, 1, HAND.slug, side) for side in (Side.left, Side.right))


def page(records: Iterable[Record], amendments: Iterable[Amendment] = (), **asked: Any) -> CoachPage:
    """The page of a week; ``weeks``, ``choice`` … as in PageAsked, ``questions`` in own words."""
    made_at = asked.pop("made_at", MADE_AT)
    asked["questions"] = tuple(Own(own=one) for one in asked.pop("questions", ()))
    told = {part: asked.pop(part, ()) for part in ("after_pain", "pain_notes")}
    person = profile(**asked.pop("person", {}))
    wanted = PageAsked(**({"weeks": (WEEK,)} | asked))
    return page_from(records, amendments, profile=person, asked=wanted, made_at=made_at, **told)


def without(*parts: str) -> PageChoice:
    return PageChoice(**dict.fromkeys(parts, False))


def sore_session() -> FittedSession:
    """A session that was fitted around a sore knee."""
    room = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.knee, side=Side.left, rating=2),))
    reasons = (swapped_for_a_knee(), hands_inside(20))
    return short_session().model_copy(update={"room": room, "reasons": reasons})


def painful_record(record_id: str = "painful", *, started_at: datetime = STARTED_AT) -> Record:
    """Fitted around a sore knee, re-fitted for an elbow, limited by a joint and stopped for pain."""
    run = Journal(sore_session(), started_at=started_at).write("started", 0)
    at_ms = remaining_at(run.state, 0) + 12_000
    note = pain(
        session_ms=at_ms,
        segment_id=run.state.coming[0].id,
        movement=HAND.slug,
        joint=Joint.elbow,
        rating=5,
        words="A sting at the elbow.",
    )
    run.write("hurt", at_ms, pain=note)
    run.write("refitted", at_ms + 5_000, segments=run.state.coming, said=(SPARED,))
    run.write("ended", at_ms + 9_000, ending="pain")
    limited = SetAnswer(load_g=6_000, repetitions=3, effort=8, limited_by=LimitedBy.joint)
    return logged(
        run, record_id=record_id, exceptions={SIDE_LEFT: limited}, effort=7, note="A hard day at work."
    )


def late_answers(record_id: str = "painful") -> tuple[Amendment, ...]:
    """Amendments of a record: the next morning, the muscles, and a corrected set."""
    corrected = {"key": SIDE_LEFT, "answer": {"load_g": 8_000, "repetitions": 4, "limited_by": "joint"}}
    said = (
        (AmendedField.next_morning_pain, {"joint": "elbow", "side": "left", "rating": 3}),
        (AmendedField.soreness, 2),
        (AmendedField.set, corrected),
        (AmendedField.note, "An easy day after all."),
        (AmendedField.effort, 6),
    )
    return tuple(
        Amendment(
            id=f"{record_id}-{number}",
            record_id=record_id,
            at=STARTED_AT + timedelta(hours=number),
            field=field,
            value=value,
        )
        for number, (field, value) in enumerate(said, 12)
    )
