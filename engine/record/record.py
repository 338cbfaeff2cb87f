"""What was really done: the record of a session, its amendments, and the profile of the person.

A record never changes; corrections and late answers are amendments beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field, JsonValue

from engine.base.model import Model, Name, Slug
from engine.base.units import HEAVIEST_LOAD_G, LoadUnit
from engine.live.events import Ending
from engine.live.state import Change, Done, LostPosition, Outcome, RunState
from engine.movements.movement import MovementPattern, Side
from engine.movements.pain import PainNote
from engine.movements.tempo import Tempo, predicted_repetitions
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Segment

Effort = Annotated[float, Field(ge=0, le=10, multiple_of=0.5)]
Grams = Annotated[int, Field(ge=0, le=HEAVIEST_LOAD_G)]
Note = Annotated[str, Field(max_length=2_000)]


class ProfileFlag(StrEnum):
    """What changes defaults, only if the trainee says so."""

    novice = "novice"
    older = "older"
    pregnant = "pregnant"
    high_blood_pressure = "high_blood_pressure"


class Profile(Model):
    format: Literal["profile"] = "profile"
    version: Literal[1] = 1
    trainee_id: str
    name: Name
    zone: str = "UTC"
    """IANA name of the time zone."""
    unit: LoadUnit = LoadUnit.kg
    flags: tuple[ProfileFlag, ...] = ()
    cautions_read_at: AwareDatetime | None = None


class LimitedBy(StrEnum):
    muscle = "muscle"
    grip = "grip"
    breath = "breath"
    balance = "balance"
    position = "position"
    joint = "joint"


class SetAnswer(Model):
    """What the person says about one set; None is not said."""

    load_g: Grams | None = None
    repetitions: Annotated[int, Field(ge=0, le=500)] | None = None
    effort: Effort | None = None
    position_held: bool = True
    range_kept: bool = True
    limited_by: LimitedBy | None = None
    easier_form: bool = False
    """Whether an easier form than the one that was planned was done."""


class SetDone(SetAnswer):
    """One work interval on one side (or both at once), as it was done.

    ``load_g`` is one dumbbell's; ``dumbbells`` says how many were lifted. ``planned_repetitions`` is the
    interval by the tempo, None where that cannot be said.
    """

    block: Slug
    round: int
    movement: Slug
    form: Slug
    pattern: MovementPattern
    also: tuple[MovementPattern, ...] = ()
    accessory: bool = False
    side: Side
    dumbbells: int
    tempo: Tempo | None = None
    planned_ms: int
    worked_ms: int
    outcome: Outcome
    planned_repetitions: int | None = None

    @property
    def answer(self) -> SetAnswer:
        """What the person said about it."""
        return SetAnswer.model_validate(self.model_dump(include=set(SetAnswer.model_fields)))

    @property
    def key(self) -> str:
        return set_key(self.block, self.round, self.movement, self.side)


def set_key(block: str, number: int, movement: str, side: Side) -> str:
    """Names one set within a session."""
    return f"{block}:{number}:{movement}:{side}"


class LogAnswers(Model):
    """The quick log. ``loads_g`` by movement holds for every set; ``exceptions`` by set key replace it."""

    loads_g: dict[Slug, Grams] = {}
    exceptions: dict[str, SetAnswer] = {}
    effort: Effort | None = None
    """Session effort 0–10, another scale than the effort of a set."""
    note: Note = ""


class Record(Model):
    """One session as it happened. ``local_date`` is the date where and when it started.

    ``session`` holds the segments as they were run, re-fits included; its blocks keep the rounds that were
    planned at the start.
    """

    format: Literal["session-record"] = "session-record"
    version: Literal[1] = 1
    id: str
    trainee_id: str
    plan_id: Slug
    plan_revision: str
    session: FittedSession
    started_at: AwareDatetime
    ended_at: AwareDatetime
    zone: str
    utc_offset_min: int
    local_date: date
    ending: Ending
    active_ms: int
    paused_ms: int
    away_ms: int = 0
    done: tuple[Done, ...]
    taken_out: tuple[Segment, ...] = ()
    """Segments that were begun before a re-fit took them out of ``session``."""
    changes: tuple[Change, ...] = ()
    sets: tuple[SetDone, ...]
    pains: tuple[PainNote, ...] = ()
    lost: tuple[LostPosition, ...] = ()
    effort: Effort | None = None
    note: Note = ""

    @property
    def by_id(self) -> dict[str, Segment]:
        """Every segment that was begun or planned to the end."""
        return {segment.id: segment for segment in (*self.taken_out, *self.session.segments)}


class AmendedField(StrEnum):
    effort = "effort"
    note = "note"
    next_morning_pain = "next_morning_pain"
    soreness = "soreness"
    set = "set"
    """The value is an object {key, answer}."""


class Amendment(Model):
    """A correction or a late answer to a record, which itself stays as it was."""

    format: Literal["amendment"] = "amendment"
    version: Literal[1] = 1
    id: str
    record_id: str
    at: AwareDatetime
    field: AmendedField
    value: JsonValue


class SetCorrection(Model):
    key: str
    answer: SetAnswer


def record_from(
    state: RunState,
    answers: LogAnswers,
    *,
    record_id: str,
    profile: Profile,
    started_at: datetime,
    ended_at: datetime,
) -> Record:
    """The record of a session that has ended. ``started_at`` and ``ended_at`` carry the local offset.

    Raises ValueError when the session has not ended or a time has no offset.
    """
    offset = started_at.utcoffset()
    if state.ending is None or offset is None or ended_at.utcoffset() is None:
        raise ValueError("A record needs a session that has ended and times with their offset.")
    return Record(
        id=record_id,
        trainee_id=profile.trainee_id,
        plan_id=state.session.plan_id,
        plan_revision=state.session.plan_revision,
        session=state.session.model_copy(update={"segments": state.segments}),
        started_at=started_at,
        ended_at=ended_at,
        zone=profile.zone,
        utc_offset_min=round(offset.total_seconds() / 60),
        local_date=started_at.date(),
        ending=state.ending,
        active_ms=sum(done.worked_ms for done in state.done),
        paused_ms=state.paused_ms,
        away_ms=state.away_ms,
        done=state.done,
        taken_out=state.taken_out,
        changes=state.changes,
        sets=sets_of(state, answers),
        pains=state.pains,
        lost=state.lost,
        effort=answers.effort,
        note=answers.note,
    )


def sets_of(state: RunState, answers: LogAnswers) -> tuple[SetDone, ...]:
    """Every work interval that was begun, in order; a repeated one counts as it was done last."""
    known = state.by_id
    latest: dict[str, Done] = {}
    for done in state.done:
        if known[done.segment_id].kind is Kind.work and done.outcome is not Outcome.skipped:
            latest[done.segment_id] = done
    return tuple(_set_done(state.session, known[key], done, answers) for key, done in latest.items())


def _set_done(session: FittedSession, segment: Segment, done: Done, answers: LogAnswers) -> SetDone:
    item = session.item(segment)
    if item is None or segment.round is None or segment.side is None:
        raise ValueError(f"The work segment “{segment.id}” names no movement of its block.")
    chosen = item.chosen
    key = set_key(segment.block, segment.round, chosen.movement, segment.side)
    said = answers.exceptions.get(key, SetAnswer())
    if said.load_g is None and chosen.dumbbells:
        said = said.model_copy(update={"load_g": answers.loads_g.get(chosen.movement)})
    return SetDone(
        **said.model_dump(),
        block=segment.block,
        round=segment.round,
        movement=chosen.movement,
        form=chosen.form,
        pattern=chosen.pattern,
        also=chosen.also,
        accessory=chosen.accessory,
        side=segment.side,
        dumbbells=chosen.dumbbells,
        tempo=item.tempo,
        planned_ms=segment.planned_ms,
        worked_ms=done.worked_ms,
        outcome=done.outcome,
        planned_repetitions=predicted_repetitions(done.worked_ms, item.tempo) if item.tempo else None,
    )


def amended(record: Record, amendments: Iterable[Amendment]) -> Record:
    """The record as corrected, the latest amendment of each field last; the original is left alone."""
    for amendment in sorted(amendments, key=lambda a: (a.at, a.id)):
        if amendment.record_id == record.id:
            record = _amend(record, amendment)
    return record


def _amend(record: Record, amendment: Amendment) -> Record:
    match amendment.field:
        case AmendedField.effort | AmendedField.note:
            return Record.model_validate(record.model_dump() | {amendment.field.value: amendment.value})
        case AmendedField.set:
            correction = SetCorrection.model_validate(amendment.value)
            answer = correction.answer.model_dump()
            sets = tuple(s.model_copy(update=answer) if s.key == correction.key else s for s in record.sets)
            return record.model_copy(update={"sets": sets})
        case AmendedField.next_morning_pain | AmendedField.soreness:
            return record
