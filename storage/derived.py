"""Counting over records: weekly figures and last loads. Pure; the stores keep the results or count anew."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.model import Model
from engine.base.periods import iso_week
from engine.record.amendment import Amendment, amended
from engine.record.history import History, history_of, merged
from engine.record.record import Record
from engine.record.week import WeekReview, review_week
from storage.models import LastLoad
from storage.rules import in_order


def as_amended(records: Iterable[Record], amendments: Iterable[Amendment]) -> tuple[Record, ...]:
    """Records in order of time, as corrected."""
    held = tuple(amendments)
    return tuple(amended(record, held) for record in in_order(records))


def can_be_derived_from(record: Record, amendments: Iterable[Amendment]) -> bool:
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


def weekly_figures(records: Iterable[Record]) -> tuple[WeekReview, ...]:
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


class Fold(Model):
    """What some records come to: their history and the last loads. Folds of other records can be merged."""

    history: History = History()
    loads: tuple[LastLoad, ...] = ()


def fold_of(records: Iterable[Record], amendments: Iterable[Amendment] = ()) -> Fold:
    """From records as amended, and their amendments."""
    held = tuple(records)
    return Fold(history=history_of(held, amendments), loads=last_loads(held))


def merged_folds(folds: Iterable[Fold]) -> Fold:
    """One fold for all records of several that share none."""
    held = tuple(folds)
    return Fold(
        history=merged(fold.history for fold in held),
        loads=latest(load for fold in held for load in fold.loads),
    )
