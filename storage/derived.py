"""What is derived from records: weekly figures, last loads and the history. Pure.

The stores keep the results beside the records. A change of their meaning raises DERIVED_VERSION in
storage/schema.py.
"""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.model import Model
from engine.base.periods import iso_week
from engine.record.amendment import Amendment, amended
from engine.record.history import History, history_of, merged
from engine.record.record import Record
from engine.record.sets import is_worked
from engine.record.week import WeekReview, review_week
from storage.models import LastLoad
from storage.rules import in_order


def as_amended(records: Iterable[Record], amendments: Iterable[Amendment]) -> tuple[Record, ...]:
    """Records in order of time, as corrected."""
    held = tuple(amendments)
    return tuple(amended(record, held) for record in in_order(records))


def can_be_derived_from(record: Record, amendments: Iterable[Amendment]) -> bool:
    """Whether weeks and history can be derived from a record, as it is corrected.

    Well-formed figures may still lead beyond any calendar.
    """
    answers = tuple(amendments)
    try:
        corrected = amended(record, answers)
        review_week((corrected,), iso_week(corrected.local_date)).model_dump_json()
        history_of((corrected,), answers).model_dump_json()
        last_loads((corrected,))
    except (ValueError, ArithmeticError, LookupError, TypeError):
        return False
    return True


def weekly_figures(records: Iterable[Record]) -> tuple[WeekReview, ...]:
    """The figures of every week that has records, from records as amended, the earliest week first."""
    by_week: dict[str, list[Record]] = {}
    for record in records:
        by_week.setdefault(iso_week(record.local_date), []).append(record)
    return tuple(review_week(by_week[week], week) for week in sorted(by_week))


def loads_of(record: Record) -> Iterable[LastLoad]:
    """The load of every set that was worked with one, in the order of the sets."""
    for done in record.sets:
        if done.load_g is not None and is_worked(done):
            yield LastLoad(
                movement=done.movement,
                variant=done.variant,
                kit=record.session.kit,
                interval_ms=done.planned_ms,
                tempo=done.tempo,
                load_g=done.load_g,
                started_at=record.started_at,
                record_id=record.id,
            )


def latest(loads: Iterable[LastLoad]) -> tuple[LastLoad, ...]:
    """The load lifted last for each variant, kit, interval and tempo; within a session that of its last
    set."""
    last: dict[tuple[object, ...], LastLoad] = {}
    for load in sorted(loads, key=lambda load: (load.started_at, load.record_id)):
        last[load.key] = load
    return tuple(sorted(last.values(), key=_place))


def _place(load: LastLoad) -> tuple[object, ...]:
    return load.movement, load.variant, load.kit, load.interval_ms, load.tempo or ""


def last_loads(records: Iterable[Record]) -> tuple[LastLoad, ...]:
    """The last loads from records, given as amended."""
    return latest(load for record in in_order(records) for load in loads_of(record))


class Fold(Model):
    """The history and the last loads of some records. Folds of different records can be merged."""

    history: History = History()
    loads: tuple[LastLoad, ...] = ()


def fold_of(records: Iterable[Record], amendments: Iterable[Amendment] = ()) -> Fold:
    """Folds records, given as amended, and their amendments."""
    records = tuple(records)
    return Fold(history=history_of(records, amendments), loads=last_loads(records))


def merged_folds(folds: Iterable[Fold]) -> Fold:
    """The fold of all records of several folds, none of which share a record."""
    folds = tuple(folds)
    return Fold(
        history=merged(fold.history for fold in folds),
        loads=latest(load for fold in folds for load in fold.loads),
    )
