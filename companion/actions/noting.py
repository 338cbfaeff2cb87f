"""Pain that is noted without a session."""

from __future__ import annotations

from uuid import uuid4

from companion.actions.context import Context
from companion.actions.said_today import count_today, save_today
from engine.record.noted_pain import NotedPain


async def note_pain(context: Context, **said: object) -> NotedPain:
    """Keeps a pain note for the person and the coach, and lets it count today.

    ``said`` are fields of ``NotedPain``: kind, joint, side, rating, qualities, words. The fit is not made
    again. Raises StorageProblem where nothing may be written, and pydantic's ValidationError for what a note
    cannot say.
    """
    now = context.now()
    note = NotedPain.model_validate(
        {
            "id": str(uuid4()),
            "trainee_id": context.profile().trainee_id,
            "at": now,
            "local_date": now.date(),
            **said,
        }
    )
    await context.store.sessions.save_pain_note(note)
    context.state.body.noted = (*context.state.body.noted, note)
    count_today(context)
    await save_today(context)
    return note
