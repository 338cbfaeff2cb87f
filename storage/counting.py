"""Counting over records: weekly figures and last loads. Pure; the stores keep the results or count anew."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.model import Model
from engine.base.periods import iso_week
from engine.record.history import History, history_of, merged
from engine.record.record import Amendment, Record, amended
from engine.record.week import WeekReview, review_week
from storage.models import LastLoad
from storage.rules import in_order


def as_amended(records: Iterable[Record], amendments: Iterable[Amendment]) -> tuple[Record, ...]:
    """Records in order of time, as corrected."""
    held = tuple(amendments)
    return tuple(amended(record, held) for record in in_order(records))


def is_countable(record: Record, amendments: Iterable[Amendment]) -> bool:
    """Whether weeks and history can be counted with a record, as corrected: well-formed figures may still
    lead beyond all calendars."""
    answers = tuple(amendments)
    try:
        corrected = amended(record, answers)
        review_week((corrected,), iso_week(corrected.local_date)).model_dump_json()
        history_of((corrected,), answers).model_dump_json()
        last_loads((corrected,))
    except (ValueError, ArithmeticError, LookupError, TypeError):
        return False
    return True


def count_weeks(records: Iterable[Record]) -> tuple[WeekReview, ...]:
    """The figures of every week that has records, from records as amended, the earliest week first."""
    by_week: dict[str, list[Record]] = {}
    for record in records:
        by_week.setdefault(iso_week(record.local_date), []).append(record)
    return tuple(review_week(by_week[week], week) for week in sorted(by_week))


def loads_of(record: Record) -> Iterable[LastLoad]:
    for done in record.sets:
        if done.load_g is not None:
            yield LastLoad(
                movement=done.movement,
                form=done.form,
                kit=record.session.kit,
                interval_ms=done.planned_ms,
                tempo=done.tempo,
                load_g=done.load_g,
                started_at=record.started_at,
                record_id=record.id,
            )


def latest(loads: Iterable[LastLoad]) -> tuple[LastLoad, ...]:
    """For each form, kit, interval and tempo the load lifted last; of one session, its last set."""
    last: dict[tuple[object, ...], LastLoad] = {}
    for load in sorted(loads, key=lambda load: (load.started_at, load.record_id)):
        last[load.key] = load
    return tuple(sorted(last.values(), key=_place))


def _place(load: LastLoad) -> tuple[object, ...]:
    return load.movement, load.form, load.kit, load.interval_ms, load.tempo or ""


def last_loads(records: Iterable[Record]) -> tuple[LastLoad, ...]:
    """The last loads from records as amended."""
    return latest(load for record in in_order(records) for load in loads_of(record))


MADE_AS = 1
"""To be raised when anything is counted otherwise: what was counted in another way is counted again."""


class Fold(Model):
    """What some records come to."""

    history: History = History()
    loads: tuple[LastLoad, ...] = ()


def fold_of(records: Iterable[Record], amendments: Iterable[Amendment] = ()) -> Fold:
    """From records as amended, and their amendments."""
    held = tuple(records)
    return Fold(history=history_of(held, amendments), loads=last_loads(held))


def both_folds(one: Fold, other: Fold) -> Fold:
    loads = latest((*one.loads, *other.loads))
    return Fold(history=merged((one.history, other.history)), loads=loads)
