"""What earlier sessions say about the next one, small enough to be kept beside the records.

Histories can be merged in any order: ``merged`` of the histories of two sets of records is the history of
both sets together. Of whatever accumulates only the newest is kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from datetime import date, datetime, timedelta
from operator import attrgetter
from typing import Any, TypeVar

from pydantic import AwareDatetime

from engine.base.model import Model
from engine.live.state import Outcome
from engine.movements.after_pain import JointRating, MovementPain, PainFreeTry
from engine.movements.movement import Sides
from engine.movements.pain import Advice, advice, counts_as_joint, is_pain
from engine.record.amendment import Amendment
from engine.record.exposure import Exposure, exposures_of
from engine.record.joint_pain import JointPain, ToldIn, joint_pains
from engine.record.morning import JointMorning, mornings_of
from engine.record.record import Record
from engine.record.sets import is_worked
from engine.session.fitted import FittedSession
from engine.session.pace import TickedItem, item_key
from engine.session.segment import Kind, Pace, Segment

DAYS_KEPT = 42
"""Six weeks, if every day had a session: the longest time after which a lighter week is proposed."""
TICKS_KEPT = 12
"""Of one item: four sessions of three rounds, so that a change of pace shows soon. † Our judgement, no
source."""
EXPOSURES_KEPT = 6
"""Of one movement, variant, kit, interval and tempo: three times the two clear sessions that make a step.
† Our judgement, no source."""

FLAGGED_KEPT, TRIED_KEPT = 6, 4
"""Of one movement: enough to know how often it was left out, and whether it came back."""
MORNINGS_KEPT = 20
"""Of one joint point: movements stay left out after a morning until they are tried."""
PAINS_KEPT = 12
"""Of one joint point: more than anybody tells in one day, which is as long as they count."""

Entry = TypeVar("Entry", bound=Model)


class SessionCount(Model):
    """How many sets a session was planned to have at its start, and how many were worked."""

    at: AwareDatetime
    local_date: date
    done: int
    planned: int


class History(Model):
    """The newest of each, the earliest first.

    ``days`` are the local dates of sessions, ``ticked`` the self-paced items that were done, ``exposures``
    what was worked and how it went, ``flagged`` the joint pains after which a movement is left out, ``tried``
    what was practised or worked without pain, ``pains`` what was told of joints, ``mornings`` what
    of them on the morning after, ``started`` when the last sessions and easy movements started, ``counts``
    how much of each session was done.
    """

    days: tuple[date, ...] = ()
    ticked: tuple[TickedItem, ...] = ()
    exposures: tuple[Exposure, ...] = ()
    flagged: tuple[MovementPain, ...] = ()
    tried: tuple[PainFreeTry, ...] = ()
    pains: tuple[JointPain, ...] = ()
    mornings: tuple[JointMorning, ...] = ()
    started: tuple[AwareDatetime, ...] = ()
    counts: tuple[SessionCount, ...] = ()

    @property
    def last_started(self) -> datetime | None:
        """When the last session, or easy movement, started that was saved."""
        return self.started[-1] if self.started else None

    def until(self, day: date) -> History:
        """What it held at the end of a local day, as far as that is still known."""
        return History(
            days=tuple(one for one in self.days if one <= day),
            ticked=tuple(one for one in self.ticked if one.at.date() <= day),
            exposures=tuple(one for one in self.exposures if one.local_date <= day),
            flagged=tuple(one for one in self.flagged if one.local_date <= day),
            tried=tuple(one for one in self.tried if one.at.date() <= day),
            pains=tuple(one for one in self.pains if one.at.date() <= day),
            mornings=tuple(one for one in self.mornings if one.local_date <= day),
            started=tuple(one for one in self.started if one.date() <= day),
            counts=tuple(one for one in self.counts if one.local_date <= day),
        )


def history_of(records: Iterable[Record], amendments: Iterable[Amendment] = ()) -> History:
    """The history of records as amended, in any order, each given once.

    ``amendments`` give the late answers, which are not part of a record.
    """
    by_record: dict[str, list[Amendment]] = {}
    for one in amendments:
        by_record.setdefault(one.record_id, []).append(one)
    return merged(
        _history_of_one(record, mornings_of(record, by_record.get(record.id, ()))) for record in records
    )


def merged(histories: Iterable[History]) -> History:
    """The history of all records together, from histories that share no record."""
    parts = tuple(histories)
    movement = attrgetter("movement")
    return History(
        days=tuple(sorted({day for one in parts for day in one.days})[-DAYS_KEPT:]),
        ticked=_newest(
            (tick for one in parts for tick in one.ticked),
            by=attrgetter("at", "item", "stated_ms", "taken_ms", "sound"),
            of=attrgetter("item"),
            most=TICKS_KEPT,
        ),
        exposures=_newest(
            (exposure for one in parts for exposure in one.exposures),
            by=lambda exposure: (exposure.started_at, exposure.record_id, exposure.key.model_dump_json()),
            of=attrgetter("key"),
            most=EXPOSURES_KEPT,
        ),
        flagged=_newest(
            (pain for one in parts for pain in one.flagged), by=_when, of=movement, most=FLAGGED_KEPT
        ),
        tried=_newest(
            (tried for one in parts for tried in one.tried), by=_when, of=movement, most=TRIED_KEPT
        ),
        pains=_newest(
            (pain for one in parts for pain in one.pains),
            by=lambda pain: (pain.at, pain.model_dump_json()),
            of=attrgetter("joint", "side"),
            most=PAINS_KEPT,
        ),
        mornings=_newest(
            (morning for one in parts for morning in one.mornings),
            by=lambda morning: (morning.local_date, morning.at, morning.model_dump_json()),
            of=attrgetter("joint", "side"),
            most=MORNINGS_KEPT,
        ),
        started=tuple(sorted({at for one in parts for at in one.started})[-DAYS_KEPT:]),
        counts=_newest_counts(parts),
    )


def _newest_counts(parts: Iterable[History]) -> tuple[SessionCount, ...]:
    return _newest(
        (count for one in parts for count in one.counts),
        by=lambda count: (count.at, count.model_dump_json()),
        of=lambda _: None,
        most=DAYS_KEPT,
    )


def _when(one: MovementPain | PainFreeTry) -> tuple[datetime, str, str]:
    return one.at, one.record_id, one.model_dump_json()


def _newest(
    entries: Iterable[Entry], *, by: Callable[[Entry], Any], of: Callable[[Entry], Hashable], most: int
) -> tuple[Entry, ...]:
    """The entries in the order ``by``; of each kind, told by ``of``, only the last ``most``."""
    in_order = sorted(entries, key=by)
    kept: list[Entry] = []
    found = Counter[Hashable]()
    for entry in reversed(in_order):
        found[of(entry)] += 1
        if found[of(entry)] <= most:
            kept.append(entry)
    return tuple(reversed(kept))


def _history_of_one(record: Record, mornings: tuple[JointMorning, ...]) -> History:
    """What one record says; of easy movement only what it tells of pain, and when it was."""
    return History(
        days=() if record.session.easy_movement else (record.local_date,),
        ticked=tuple(ticked_items(record)),
        exposures=exposures_of(record, next_morning_pain=max((one.rating for one in mornings), default=0)),
        flagged=tuple(_flagged(record)),
        tried=tuple(_tried(record, mornings)),
        pains=(*joint_pains(record), *map(_as_pain, mornings)),
        mornings=mornings,
        started=(record.started_at,),
        counts=() if record.session.easy_movement else (_count(record),),
    )


def _count(record: Record) -> SessionCount:
    """A side is a set of its own, in what was planned at the start as in what was done. What entered during
    the session stands for what it replaced."""
    planned = 0
    for block in record.session.blocks:
        if block.kind == "work":
            sides = {item.place: item.chosen.sides for item in reversed(block.items)}
            planned += block.rounds * sum(1 if one is Sides.none else 2 for one in sides.values())
    done = sum(1 for one in record.sets if is_worked(one))
    return SessionCount(at=record.started_at, local_date=record.local_date, done=done, planned=planned)


def _as_pain(morning: JointMorning) -> JointPain:
    told = morning.model_dump(include={"at", "joint", "side", "rating"})
    return JointPain(**told, told_in=ToldIn.morning)


def _flagged(record: Record) -> Iterator[MovementPain]:
    """The joint pains after which a movement is left out, a second dull pain on it included."""
    names = {i.chosen.movement: i.chosen.name for block in record.session.blocks for i in block.items}
    hurt: set[str] = set()
    for note in sorted(record.pains, key=lambda one: one.session_ms):
        said = advice(note, retried=note.movement in hurt)
        if counts_as_joint(note) and note.joint is not None and note.movement in names:
            hurt |= {note.movement} if note.rating else set()
            if said in (Advice.swap_and_leave_out, Advice.end_session):
                yield MovementPain(
                    at=record.started_at + timedelta(milliseconds=note.session_ms),
                    local_date=record.local_date,
                    record_id=record.id,
                    movement=note.movement,
                    name=names[note.movement],
                    joint=note.joint,
                    side=note.side,
                )


def _tried(record: Record, mornings: tuple[JointMorning, ...]) -> Iterator[PainFreeTry]:
    """The movements practised or worked to the end while nothing hurt on them; none of easy movement."""
    if record.session.easy_movement:
        return
    known = record.by_id
    hurt = {note.movement for note in record.pains if is_pain(note)}
    done = [known[one.segment_id] for one in record.done if one.outcome is Outcome.done]
    for movement in dict.fromkeys(s.movement for s in done if s.kind in (Kind.practice, Kind.work)):
        if movement is not None and movement not in hurt:
            worked = any(s.movement == movement and s.kind is Kind.work for s in done)
            yield PainFreeTry(
                at=record.ended_at,
                record_id=record.id,
                movement=movement,
                worked=worked,
                mornings=tuple(
                    JointRating(joint=one.joint, side=one.side, rating=one.rating) for one in mornings
                ),
            )


def ticked_items(record: Record) -> Iterator[TickedItem]:
    """The self-paced items that were done to their end."""
    segments = record.by_id
    lost = {one.segment_id for one in record.lost}
    hurt = {note.movement for note in record.pains if is_pain(note)}
    for done in record.done:
        segment = segments.get(done.segment_id)
        if segment is not None and segment.pace is Pace.self and done.outcome is Outcome.done:
            at = record.started_at + timedelta(milliseconds=done.started_ms)
            ticked = ticked_item(record.session, segment, at=at, taken_ms=done.worked_ms)
            if ticked is not None:
                sound = segment.id not in lost and segment.movement not in hurt
                yield ticked.model_copy(update={"sound": sound})


def ticked_item(
    session: FittedSession, segment: Segment, *, at: datetime, taken_ms: int
) -> TickedItem | None:
    """What a tick says about the pace; None where the session asks for no amount, or no time was taken."""
    item = session.item(segment)
    if item is None or item.amount is None or taken_ms <= 0:
        return None
    key = item_key(item.chosen.movement, item.amount)
    stated_ms = session.choices.pace.stated_ms(key, segment.planned_ms)
    return TickedItem(at=at, item=key, stated_ms=stated_ms, taken_ms=taken_ms)
