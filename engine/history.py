"""What earlier sessions say about the next one, so small that it can be kept beside the records.

A history folds: ``merged`` of the histories of two heaps of records is the history of both heaps together, in
any order. Of what accumulates only the newest is kept, by the instant it happened.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import TypeVar

from engine.exposure import Exposure, exposures_of
from engine.fitted import FittedSession
from engine.model import Model
from engine.pace import TickedItem, item_key
from engine.record import AmendedField, Amendment, Record
from engine.run import Outcome
from engine.segment import Pace, Segment

DAYS_KEPT = 42
"""Six weeks of days: the longest time after which a lighter week is proposed."""
TICKS_KEPT = 12
"""Of one item: four sessions of three rounds, so that a pace that changes is followed. † Our judgement, no
source."""
EXPOSURES_KEPT = 6
"""Of one movement, form, kit, interval and tempo: three times the two clear sessions that make a step.
† Our judgement, no source."""

Entry = TypeVar("Entry", bound=Model)


class History(Model):
    """The newest of each: ``days`` are the local dates of sessions, ``ticked`` the self-paced items done,
    ``exposures`` what was worked and how it went. The earliest stands first."""

    days: tuple[date, ...] = ()
    ticked: tuple[TickedItem, ...] = ()
    exposures: tuple[Exposure, ...] = ()


def history_of(records: Iterable[Record], amendments: Iterable[Amendment] = ()) -> History:
    """The history of records as amended, in whatever order they come; each is there once.

    ``amendments`` give the late answers, which a record itself does not hold.
    """
    mornings = next_morning_pains(amendments)
    return merged(_history_of_one(record, mornings.get(record.id, 0)) for record in records)


def merged(histories: Iterable[History]) -> History:
    """The history of all records together, from histories of records that are not the same."""
    held = tuple(histories)
    days = sorted({day for one in held for day in one.days})
    ticked = sorted(
        (tick for one in held for tick in one.ticked),
        key=lambda tick: (tick.at, tick.item, tick.stated_ms, tick.taken_ms),
    )
    exposures = sorted(
        (exposure for one in held for exposure in one.exposures),
        key=lambda exposure: (exposure.started_at, exposure.record_id, exposure.key.model_dump_json()),
    )
    return History(
        days=tuple(days[-DAYS_KEPT:]),
        ticked=_last(ticked, TICKS_KEPT, of=lambda tick: tick.item),
        exposures=_last(exposures, EXPOSURES_KEPT, of=lambda exposure: exposure.key),
    )


def _last(entries: Sequence[Entry], most: int, *, of: Callable[[Entry], Hashable]) -> tuple[Entry, ...]:
    """The last entries of each kind, in their order."""
    kept: list[Entry] = []
    found = Counter[Hashable]()
    for entry in reversed(entries):
        found[of(entry)] += 1
        if found[of(entry)] <= most:
            kept.append(entry)
    return tuple(reversed(kept))


def next_morning_pains(amendments: Iterable[Amendment]) -> dict[str, int]:
    """What was answered the next morning, by record, the latest answer; what is no number from 0 to 10 is
    none."""
    answers = sorted(
        (one for one in amendments if one.field is AmendedField.next_morning_pain),
        key=lambda one: (one.at, one.id),
    )
    return {
        one.record_id: one.value for one in answers if isinstance(one.value, int) and 0 <= one.value <= 10
    }


def _history_of_one(record: Record, next_morning_pain: int) -> History:
    return History(
        days=(record.local_date,),
        ticked=tuple(ticked_items(record)),
        exposures=exposures_of(record, next_morning_pain=next_morning_pain),
    )


def ticked_items(record: Record) -> Iterator[TickedItem]:
    """The self-paced items that were done to their end."""
    segments = record.by_id
    for done in record.done:
        segment = segments.get(done.segment_id)
        if segment is not None and segment.pace is Pace.self and done.outcome is Outcome.done:
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
