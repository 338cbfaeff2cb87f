"""What earlier sessions say about the next one, so small that it can be kept beside the records.

A history folds: ``merged`` of the histories of two heaps of records is the history of both heaps together, in
any order. Of what accumulates only the newest is kept, by the instant it happened.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import TypeVar

from engine.fitted import FittedSession
from engine.model import Model, canonical_json
from engine.pace import TickedItem, item_key
from engine.record import Record
from engine.run import Outcome
from engine.segment import Pace, Segment

TICKS_KEPT = 12
"""Of one item: four sessions of three rounds, so that a pace that changes is followed. † Our judgement, no
source."""
DAYS_KEPT = 42
"""Six weeks of days: the longest time after which a lighter week is proposed."""

Entry = TypeVar("Entry", bound=Model)


class History(Model):
    """``days`` are the local dates of sessions, ``ticked`` the self-paced items done; the newest of each."""

    days: tuple[date, ...] = ()
    ticked: tuple[TickedItem, ...] = ()


def history_of(records: Iterable[Record]) -> History:
    """The history of records as amended, in whatever order they come."""
    return merged(_history_of_one(record) for record in records)


def merged(histories: Iterable[History]) -> History:
    held = tuple(histories)
    days = sorted({day for one in held for day in one.days})
    ticked = (tick for one in held for tick in one.ticked)
    return History(
        days=tuple(days[-DAYS_KEPT:]),
        ticked=_newest(ticked, TICKS_KEPT, of=lambda tick: tick.item, at=lambda tick: tick.at),
    )


def _newest(
    entries: Iterable[Entry], most: int, *, of: Callable[[Entry], object], at: Callable[[Entry], datetime]
) -> tuple[Entry, ...]:
    """The newest entries of each kind, the earliest first; of one instant, in the order of their content."""
    in_order = sorted(entries, key=lambda entry: (at(entry), canonical_json(entry)))
    by_kind: dict[object, list[Entry]] = {}
    for entry in in_order:
        by_kind.setdefault(of(entry), []).append(entry)
    kept = {id(entry) for entries in by_kind.values() for entry in entries[-most:]}
    return tuple(entry for entry in in_order if id(entry) in kept)


def _history_of_one(record: Record) -> History:
    return History(days=(record.local_date,), ticked=tuple(ticked_items(record)))


def ticked_items(record: Record) -> Iterator[TickedItem]:
    """The self-paced items that were done to their end."""
    segments = record.by_id
    for done in record.done:
        segment = segments[done.segment_id]
        if segment.pace is Pace.self and done.outcome is Outcome.done:
            at = record.started_at + timedelta(milliseconds=done.started_ms)
            ticked = ticked_item(record.session, segment, at=at, taken_ms=done.worked_ms)
            if ticked is not None:
                yield ticked


def ticked_item(
    session: FittedSession, segment: Segment, *, at: datetime, taken_ms: int
) -> TickedItem | None:
    """What a tick says about the pace; None where the session asks for no dose, or no time was taken."""
    item = session.item(segment)
    if item is None or item.dose is None or taken_ms <= 0:
        return None
    key = item_key(item.chosen.movement, item.dose)
    stated_ms = session.choices.pace.stated_ms(key, segment.planned_ms)
    return TickedItem(at=at, item=key, stated_ms=stated_ms, taken_ms=taken_ms)
