"""What tests of every store share: sessions by day, and what a full recount derives from them."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import builders
from builders import STARTED_AT

from engine.record.amendment import Amendment
from engine.record.history import history_of
from engine.record.record import Record
from storage.derived import last_loads, weekly_figures
from storage.store import Store, amended_records

LATER = STARTED_AT + timedelta(days=1)


def on(day: str, record_id: str | None = None, **answers: Any) -> Record:
    """The record of a session on the evening of an ISO date."""
    started_at = datetime.fromisoformat(f"{day}T18:30:00+01:00")
    return builders.record(started_at=started_at, record_id=record_id or f"record-{day}", **answers)


def amendment(record_id: str = "record-1", **fields: Any) -> Amendment:
    defaults = {"id": "amendment-1", "record_id": record_id, "at": LATER, "field": "effort", "value": 7.5}
    return Amendment.model_validate(defaults | fields)


async def save_all(store: Store, *records: Record) -> None:
    for record in records:
        assert await store.sessions.save(record)


async def derived(store: Store) -> tuple[object, ...]:
    """Weeks, last loads and history as the store has them."""
    sessions = store.sessions
    return await sessions.week_index(), await sessions.last_loads(), await sessions.history()


async def recounted(store: Store) -> tuple[object, ...]:
    """The same, from all records of the store as amended."""
    records, amendments = await amended_records(store), await store.sessions.amendments_in()
    return weekly_figures(records), last_loads(records), history_of(records, amendments)


async def agrees_with_a_recount(store: Store) -> bool:
    return await derived(store) == await recounted(store)
