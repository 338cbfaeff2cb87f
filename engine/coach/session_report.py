"""What one session tells the coach: its record without the segments and without what the person keeps back.

Everything on a page is counted from what ``engine.coach.withheld`` leaves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Annotated

from pydantic import AwareDatetime, Field, NonNegativeInt

from engine.base.message import Argument
from engine.base.model import Identifier, Model, Name, Slug
from engine.coach.withheld import PageChoice, shown_amendments, shown_record
from engine.live.events import Ending
from engine.live.state import Change, Outcome
from engine.movements.movement import Held, Kit, MovementPattern, Side, held_at_side
from engine.movements.pain import PainNote
from engine.movements.room import SoreJoint
from engine.movements.tempo import Tempo
from engine.movements.terms import named
from engine.record.amendment import Amendment, amended
from engine.record.exposure import KITS, Exposure, LoadKey
from engine.record.record import Effort, Note, Record, SetAnswer, SetDone
from engine.record.sets import is_worked, repetitions_of
from engine.record.week import rounds_done
from engine.session.reason import Reason
from engine.session.segment import Kind

Milliseconds = Annotated[int, Field(ge=0, le=1_000_000_000)]
Rounds = Annotated[int, Field(ge=0, le=1_000)]
Place = Annotated[int, Field(ge=1, le=100)]
MOST_SETS = 1_000
"""The most entries of any list of a session; no real session comes near it."""


class SetReport(SetAnswer):
    """One set: what the person said about it, and what the clock knows."""

    round: Rounds
    place: Place
    side: Side
    worked_ms: Milliseconds
    outcome: Outcome = Outcome.done
    planned_repetitions: NonNegativeInt | None = None


_OF_A_SET = frozenset(SetReport.model_fields)


class MovementReport(Model):
    """The sets of one movement in one variant and tempo, with everything they share.

    ``weight`` says how the weight is held that the sides are named for; None where they are named for what
    works.
    """

    block: Slug
    movement: Slug
    name: Name
    variant: Slug
    variant_name: Name
    pattern: MovementPattern
    also: tuple[MovementPattern, ...] = ()
    accessory: bool = False
    dumbbells: Annotated[int, Field(ge=0, le=2)]
    weight: Held | None = None
    is_hold: bool = False
    alternates: bool = False
    tempo: Tempo | None = None
    planned_ms: Milliseconds
    sets: Annotated[tuple[SetReport, ...], Field(max_length=MOST_SETS)]

    @property
    def key(self) -> LoadKey:
        return LoadKey(
            movement=self.movement,
            variant=self.variant,
            kit=KITS[self.dumbbells],
            interval_ms=self.planned_ms,
            tempo=self.tempo,
            alternates=self.alternates,
        )

    @property
    def term(self) -> Argument:
        return named(self.movement, self.name)

    @property
    def sets_with_form_slipped(self) -> int:
        return sum(not one.form_held for one in self.sets)

    def sets_done(self) -> Iterator[SetDone]:
        """The sets as a record has them."""
        shared = self.model_dump(exclude={"name", "variant_name", "weight", "sets"})
        return (SetDone(**shared, **one.model_dump()) for one in self.sets)


class SessionReport(Model):
    """One session as corrected. ``minutes`` are those asked for, ``sore`` the joints that hurt before,
    ``reasons`` what the fit gave up, ``changes`` the re-fits on the run. ``rounds_done`` and
    ``rounds_planned`` are those of each work block. ``form_slipped`` is how often the position was lost.
    ``easy_movement`` is no session: it stands apart wherever sessions are counted."""

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
    easy_movement: bool = False
    below_minimum: bool = False
    rounds_done: Annotated[tuple[Rounds, ...], Field(max_length=MOST_SETS)]
    rounds_planned: Annotated[tuple[Rounds, ...], Field(max_length=MOST_SETS)]
    sore: Annotated[tuple[SoreJoint, ...], Field(max_length=MOST_SETS)] = ()
    reasons: Annotated[tuple[Reason, ...], Field(max_length=MOST_SETS)] = ()
    changes: Annotated[tuple[Change, ...], Field(max_length=MOST_SETS)] = ()
    movements: Annotated[tuple[MovementReport, ...], Field(max_length=MOST_SETS)] = ()
    form_slipped: Annotated[int, Field(ge=0, le=MOST_SETS)] = 0
    pains: Annotated[tuple[PainNote, ...], Field(max_length=MOST_SETS)] = ()
    effort: Effort | None = None
    note: Note = ""
    amendments: Annotated[tuple[Amendment, ...], Field(max_length=MOST_SETS)] = ()

    @property
    def kit_used(self) -> Kit:
        """The most dumbbells that were lifted at once; ``kit`` is what was on hand."""
        lifted = (
            one.dumbbells
            for one in self.movements
            if any(is_worked(done) and done.load_g != 0 for done in one.sets_done())
        )
        return KITS[max(lifted, default=0)]

    def exposures(self) -> Iterator[Exposure]:
        """What was worked, one exposure for each movement report."""
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


def counted(reports: Iterable[SessionReport]) -> tuple[SessionReport, ...]:
    """The reports of what counts as a session."""
    return tuple(one for one in reports if not one.easy_movement)


def easy_movements(reports: Iterable[SessionReport]) -> tuple[SessionReport, ...]:
    """The reports of easy movement."""
    return tuple(one for one in reports if one.easy_movement)


def report_of(record: Record, amendments: Iterable[Amendment], choice: PageChoice) -> SessionReport:
    """The report of a record as saved, corrected by its amendments; those of other records are ignored."""
    own = tuple(one for one in amendments if one.record_id == record.id)
    shown = shown_record(amended(record, own), choice)
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
        easy_movement=shown.session.easy_movement,
        below_minimum=shown.session.below_minimum,
        rounds_done=rounds_done(shown),
        rounds_planned=shown.session.rounds_by_block(),
        sore=shown.session.room.sore,
        reasons=shown.session.reasons,
        changes=shown.changes,
        movements=tuple(_movements(shown)),
        form_slipped=len(shown.lost),
        pains=shown.pains,
        effort=shown.effort,
        note=shown.note,
        amendments=tuple(shown_amendments(own, choice)),
    )


def _movements(record: Record) -> Iterator[MovementReport]:
    """The sets of a record, gathered by everything they share, in the order of the work."""
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
            variant_name=asked.variant_name,
            weight=held_at_side(asked.sides, asked.held),
            sets=tuple(SetReport(**done.model_dump(include=set(_OF_A_SET))) for done in sets),
        )
