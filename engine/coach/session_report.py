"""What one session tells the coach: its record without the segments, less what the person keeps back.

``withheld`` is the one place that takes out what is kept back; everything on a page is counted from what it
leaves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Annotated, Any

from pydantic import AwareDatetime, Field, NonNegativeInt

from engine.base.model import Model, Name, Slug
from engine.live.events import Ending
from engine.live.state import Change, Outcome
from engine.movements.movement import Kit, MovementPattern, Side
from engine.movements.pain import PainNote
from engine.movements.room import SoreJoint
from engine.movements.tempo import Tempo
from engine.plan.plan import GiveUp
from engine.record.amendment import AmendedField, Amendment, SetCorrection, amended
from engine.record.exposure import KITS, Exposure, LoadKey
from engine.record.record import Effort, LimitedBy, Note, Record, SetAnswer, SetDone
from engine.record.sets import repetitions_of
from engine.record.week import rounds_done
from engine.session.fitted import Reason
from engine.session.segment import Kind

Identifier = Annotated[str, Field(min_length=1, max_length=100)]
Milliseconds = Annotated[int, Field(ge=0, le=1_000_000_000)]
Rounds = Annotated[int, Field(ge=0, le=1_000)]
MOST_SETS = 1_000
"""Of anything that a session lists; no session comes near it."""

_OF_TIME = frozenset(GiveUp) | {"below_minimum"}
"""Reasons that are about minutes. Every other may name a joint, so it goes with the pain."""
_LATE_PAIN = frozenset({AmendedField.next_morning_pain, AmendedField.soreness})


class PageChoice(Model):
    """What goes on a page; the person chooses.

    Without ``pain`` nothing betrays it: no pain note, sore joint, stop for pain, swap or change on the run,
    no soreness and no answer of the next morning. ``notes`` are the person's own words about a session.
    """

    pain: bool = True
    loads: bool = True
    effort: bool = True
    given_up: bool = True
    notes: bool = True

    @property
    def left_out(self) -> tuple[str, ...]:
        return tuple(name for name in PageChoice.model_fields if not getattr(self, name))


class SetReport(SetAnswer):
    """One set: what was said about it, and what the clock knows."""

    round: Rounds
    side: Side
    worked_ms: Milliseconds
    outcome: Outcome = Outcome.done
    planned_repetitions: NonNegativeInt | None = None


class MovementReport(Model):
    """The sets of one movement in one form and tempo, with what they share."""

    block: Slug
    movement: Slug
    name: Name
    form: Slug
    form_name: Name
    pattern: MovementPattern
    also: tuple[MovementPattern, ...] = ()
    accessory: bool = False
    dumbbells: Annotated[int, Field(ge=0, le=2)]
    tempo: Tempo | None = None
    planned_ms: Milliseconds
    sets: Annotated[tuple[SetReport, ...], Field(max_length=MOST_SETS)]

    @property
    def key(self) -> LoadKey:
        return LoadKey(
            movement=self.movement,
            form=self.form,
            kit=KITS[self.dumbbells],
            interval_ms=self.planned_ms,
            tempo=self.tempo,
        )

    def sets_done(self) -> Iterator[SetDone]:
        shared = self.model_dump(exclude={"name", "form_name", "sets"})
        return (SetDone(**shared, **one.model_dump()) for one in self.sets)


class SessionReport(Model):
    """One session as corrected. ``minutes`` are those that were asked for, ``sore`` what hurt before,
    ``reasons`` what the fit gave up, ``changes`` what was fitted again on the run; ``position_lost``
    counts."""

    record_id: Identifier
    plan_id: Slug
    plan_revision: Identifier
    plan_name: Name
    started_at: AwareDatetime
    local_date: date
    kit: Kit
    minutes: Annotated[float, Field(ge=0, le=10_000)]
    active_ms: Milliseconds
    ending: Ending
    below_minimum: bool = False
    rounds_done: Rounds
    rounds_planned: Rounds
    sore: Annotated[tuple[SoreJoint, ...], Field(max_length=MOST_SETS)] = ()
    reasons: Annotated[tuple[Reason, ...], Field(max_length=MOST_SETS)] = ()
    changes: Annotated[tuple[Change, ...], Field(max_length=MOST_SETS)] = ()
    movements: Annotated[tuple[MovementReport, ...], Field(max_length=MOST_SETS)] = ()
    position_lost: Annotated[int, Field(ge=0, le=MOST_SETS)] = 0
    pains: Annotated[tuple[PainNote, ...], Field(max_length=MOST_SETS)] = ()
    effort: Effort | None = None
    note: Note = ""
    amendments: Annotated[tuple[Amendment, ...], Field(max_length=MOST_SETS)] = ()

    def exposures(self) -> Iterator[Exposure]:
        """What was worked, by form, kit, interval and tempo."""
        for of_one in self.movements:
            yield Exposure(
                key=of_one.key,
                record_id=self.record_id,
                started_at=self.started_at,
                local_date=self.local_date,
                sets=tuple(of_one.sets_done()),
            )

    @property
    def volume_g(self) -> int:
        """Repetitions × grams of all sets, a pair counted twice."""
        sets = (done for of_one in self.movements for done in of_one.sets_done())
        return sum((repetitions_of(done) or 0) * (done.load_g or 0) * done.dumbbells for done in sets)


def without_withheld(record: Record, choice: PageChoice) -> Record:
    """A record less what the person keeps back. Of a record whose pain is kept back, the same is left as if
    nothing had hurt and the session had been ended early."""
    session, changed = record.session, dict[str, Any]()
    if not choice.pain:
        changed |= {"pains": (), "changes": (), "ending": _without_pain(record.ending)}
        kept = tuple(reason for reason in session.reasons if reason.code in _OF_TIME)
        room = session.room.model_copy(update={"sore": ()})
        session = session.model_copy(update={"reasons": kept, "room": room})
    if not choice.given_up:
        changed["changes"] = ()
        session = session.model_copy(update={"reasons": ()})
    if not choice.effort:
        changed["effort"] = None
    if not choice.notes:
        changed["note"] = ""
    sets = tuple(done.model_copy(update=_kept_back(done, choice)) for done in record.sets)
    return record.model_copy(update=changed | {"session": session, "sets": sets})


def _without_pain(ending: Ending) -> Ending:
    return Ending.early if ending is Ending.pain else ending


def _kept_back(said: SetAnswer, choice: PageChoice) -> dict[str, None]:
    """The answers about a set that are kept back."""
    hurt = not choice.pain and said.limited_by is LimitedBy.joint
    gone = {"load_g": not choice.loads, "effort": not choice.effort, "limited_by": hurt}
    return {name: None for name, is_gone in gone.items() if is_gone}


def report_of(record: Record, amendments: Iterable[Amendment], choice: PageChoice) -> SessionReport:
    """The report of a record as saved, corrected by its amendments; others are passed over."""
    own = tuple(one for one in amendments if one.record_id == record.id)
    shown = without_withheld(amended(record, own), choice)
    return SessionReport(
        record_id=shown.id,
        plan_id=shown.plan_id,
        plan_revision=shown.plan_revision,
        plan_name=shown.session.plan_name,
        started_at=shown.started_at,
        local_date=shown.local_date,
        kit=shown.session.kit,
        minutes=shown.session.minutes,
        active_ms=shown.active_ms,
        ending=shown.ending,
        below_minimum=shown.session.below_minimum,
        rounds_done=rounds_done(shown),
        rounds_planned=shown.session.rounds(),
        sore=shown.session.room.sore,
        reasons=shown.session.reasons,
        changes=shown.changes,
        movements=tuple(_movements(shown)),
        position_lost=len(shown.lost),
        pains=shown.pains,
        effort=shown.effort,
        note=shown.note,
        amendments=tuple(_amendments(own, choice)),
    )


_OF_A_SET = frozenset(SetReport.model_fields)


def _movements(record: Record) -> Iterator[MovementReport]:
    """The sets gathered by all that they share, in the order of the work."""
    chosen = {
        (segment.block, item.chosen.movement): item.chosen
        for segment in record.by_id.values()
        if segment.kind is Kind.work and (item := record.session.item(segment)) is not None
    }
    gathered: dict[str, list[SetDone]] = {}
    for done in record.sets:
        gathered.setdefault(done.model_dump_json(exclude=set(_OF_A_SET)), []).append(done)
    for sets in gathered.values():
        first = sets[0]
        asked = chosen[first.block, first.movement]
        yield MovementReport(
            **first.model_dump(exclude=set(_OF_A_SET)),
            name=asked.name,
            form_name=asked.form_name,
            sets=tuple(SetReport(**done.model_dump(include=set(_OF_A_SET))) for done in sets),
        )


def _amendments(amendments: Iterable[Amendment], choice: PageChoice) -> Iterator[Amendment]:
    gone = {AmendedField.note} if not choice.notes else set()
    gone |= {AmendedField.effort} if not choice.effort else set()
    gone |= _LATE_PAIN if not choice.pain else set()
    for one in amendments:
        if one.field is AmendedField.set:
            said = SetCorrection.model_validate(one.value)
            answer = said.answer.model_copy(update=_kept_back(said.answer, choice))
            value = said.model_copy(update={"answer": answer}).model_dump(mode="json", exclude_unset=True)
            yield one.model_copy(update={"value": value})
        elif one.field not in gone:
            yield one
