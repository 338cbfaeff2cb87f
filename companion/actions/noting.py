"""Pain that is noted without a session."""

from __future__ import annotations

from uuid import uuid4

from companion.actions.context import Context
from companion.actions.copying import copy_soon
from companion.actions.said_today import count_today, save_today
from engine.base.local_day import day_is_over
from engine.movements.movement import JointPoint
from engine.movements.pain import PainKind
from engine.record.noted_pain import NotedPain


def is_noted(context: Context, point: JointPoint) -> bool:
    """Whether today's number of a joint point is in a pain note."""
    body, now = context.state.body, context.now()
    told = {(one.joint, one.side): one.rating for one in body.sore}
    return any(
        (one.joint, one.side) == point and one.rating == told.get(point) and not day_is_over(one.at, now)
        for one in body.noted
    )


async def note_today(context: Context, point: JointPoint) -> None:
    """Notes today's pain of a joint point for the coach, once; nothing where it does not hurt."""
    told = {(one.joint, one.side): one.rating for one in context.state.body.sore}
    if point in told and not is_noted(context, point) and not context.state.read_only:
        joint, side = point
        await note_pain(context, kind=PainKind.joint, joint=joint, side=side, rating=told[point])


async def note_pain(context: Context, **said: object) -> NotedPain:
    """Keeps a pain note for the person and the coach, and lets it count today.

    ``said`` are fields of ``NotedPain``: kind, joint, side, rating, qualities, words. The fit is not made
    again. Raises StorageProblem in a window that may only read, and pydantic's ValidationError for what a
    note cannot say.
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
    context.state.body.noted = (*context.state.body.noted, note)
    count_today(context)

    async def write() -> None:
        await context.store.sessions.save_pain_note(note)

    await context.keeping.keep(f"pain-note {note.id}", write)
    copy_soon(context)
    await save_today(context)
    return note
