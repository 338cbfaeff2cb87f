"""The rules that every store follows: what is recorded never changes, and one session runs at a time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from engine.base.model import revision_of
from engine.live.events import Event, RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.amendment import Amendment
from engine.record.noted_pain import NotedPain
from engine.record.record import Record
from storage.models import WeekNote
from storage.problem import Cause, StorageProblem

Immutable = Record | Amendment | NotedPain

BACKUP_LASTS = timedelta(weeks=4)
"""† Our judgement, no source."""
BACKUP_LASTS_AT_RISK = timedelta(days=3)
"""Where a browser clears the records after seven days without a visit. † Our judgement, no source."""


def in_order(records: Iterable[Record]) -> tuple[Record, ...]:
    """Records by the time of their start."""
    return tuple(sorted(records, key=lambda record: (record.started_at, record.id)))


def in_order_made(adjustments: Iterable[Adjustment]) -> tuple[Adjustment, ...]:
    """Adjustments, the earliest made first."""
    return tuple(sorted(adjustments, key=lambda one: (one.made_at, revision_of(one))))


def is_new(saved: Immutable | None, coming: Immutable) -> bool:
    """False for what is saved already. Raises StorageProblem when the saved one with its id differs."""
    if saved is not None and saved != coming:
        raise StorageProblem(Cause.already_saved, coming.id)
    return saved is None


def backup_is_due(
    backed_up_at: datetime | None,
    started: Sequence[datetime],
    now: datetime,
    *,
    lasts: timedelta = BACKUP_LASTS,
) -> bool:
    """Whether a backup should be offered: sessions have come since the last one, or since ever, and it or the
    first of them is older than ``lasts``. ``started`` are the starts of sessions, the earliest first."""
    new = [one for one in started if backed_up_at is None or one > backed_up_at]
    return bool(new) and now - (backed_up_at or new[0]) > lasts


def may_open(running: RunningRecord | None, opening: RunningRecord) -> None:
    """Raises StorageProblem while a session is in progress, ValueError for an opening that holds events."""
    if opening.events:
        raise ValueError("A running record is opened without events.")
    if running is not None:
        raise StorageProblem(Cause.run_in_progress, running.run_id)


def is_next(last: Event | None, event: Event) -> bool:
    """False for the event that was added last. Raises ValueError when another does not follow it."""
    if event == last:
        return False
    expected = last.seq + 1 if last else 1
    if event.seq != expected:
        raise ValueError(f"Event {event.seq} cannot be written: event {expected} is next.")
    return True


def by_name(plans: Iterable[SessionPlan]) -> tuple[SessionPlan, ...]:
    return tuple(sorted(plans, key=lambda plan: (plan.name, plan.id)))


def by_week(notes: Iterable[WeekNote]) -> tuple[WeekNote, ...]:
    return tuple(sorted(notes, key=lambda note: note.iso_week))


def by_time(amendments: Iterable[Amendment]) -> tuple[Amendment, ...]:
    """Amendments by the time when they were made."""
    return tuple(sorted(amendments, key=lambda amendment: (amendment.at, amendment.id)))


def in_order_noted(notes: Iterable[NotedPain]) -> tuple[NotedPain, ...]:
    """Pain notes in order of time."""
    return tuple(sorted(notes, key=lambda note: (note.at, note.id)))
