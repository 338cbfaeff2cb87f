"""Late answers and corrections about a session that is saved."""

from __future__ import annotations

from uuid import uuid4

from pydantic import JsonValue

from companion.actions.context import Context
from companion.actions.copying import copy_soon
from engine.base.periods import iso_week
from engine.record.amendment import AmendedField, Amendment, is_last_word, moment_after
from engine.record.follow_up import FollowUp, follow_up
from engine.record.record import Record
from engine.today.mornings import watched_joints
from storage.store import amended_records


async def open_questions(context: Context) -> FollowUp | None:
    """What the latest session or easy movement still asks. Reads the weeks of both, and none before the
    first."""
    learned = context.state.learned
    history = learned.history
    if history.last_started is None or context.state.read_only:
        return None
    records, late = list[Record](), list[Amendment]()
    for week in {iso_week(day) for day in (*history.days[-1:], history.last_started.date())}:
        records += await amended_records(context.store, week)
        late += await context.store.sessions.amendments_in(week)
    watched = watched_joints(history, learned.after_pain)
    return follow_up(records, late, context.now(), watched=watched)


async def amend(context: Context, record_id: str, field: AmendedField, value: JsonValue) -> None:
    """Adds a correction or a late answer to a record; the record itself stays as it was saved.

    What was said last already is not said again, as where others of several answers were refused before.
    """
    earlier = await context.store.sessions.amendments(record_id)
    if is_last_word(earlier, field, value):
        await context.store.settle()
        return
    at = moment_after(earlier, field, context.now())
    amendment = Amendment(id=str(uuid4()), record_id=record_id, at=at, field=field, value=value)
    await context.store.sessions.amend(amendment)
    record = await context.store.sessions.record(record_id)
    if record is not None:
        copy_soon(context, record.local_date)
