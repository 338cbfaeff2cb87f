"""What the person says about today: saved with every change, and checked against the clock at every use."""

from __future__ import annotations

from datetime import datetime

from companion.actions.context import Context
from companion.state.person import Body
from engine.growth.illness import easy_session, why_no_session_yet
from engine.movements.movement import JointPoint
from engine.record.joint_pain import JointPain
from engine.record.noted_pain import NotedPain, noted_joint_pains
from engine.today.said import (
    SaidToday,
    pruned,
    still_counts,
    with_illness_said,
    with_joint,
    with_pressure,
    with_sore_muscles,
)


def take_today(context: Context, said: SaidToday | None, noted: tuple[NotedPain, ...]) -> None:
    """Takes in what is saved about today."""
    context.state.body = Body(said=said, noted=noted)
    count_today(context)


def count_today(context: Context) -> bool:
    """Works out what still counts now; returns whether that has changed."""
    body, now = context.state.body, context.now()
    last_started = context.state.learned.history.last_started
    still = still_counts(body.said, _pains(context), now, last_started=last_started)
    before = _counting(body)
    body.sore, body.rated, body.spared = still.sore, still.rated, still.spared
    body.sore_muscles, body.pressure_high = still.sore_muscles, still.pressure_high
    illness, started = body.said.illness if body.said else None, _sessions(context)
    body.not_yet = why_no_session_yet(illness, now)
    body.easy_session = easy_session(illness, started, now)
    return before != _counting(body)


def _counting(body: Body) -> tuple[object, ...]:
    joints = body.sore, body.rated, body.spared
    return *joints, body.sore_muscles, body.pressure_high, body.not_yet, body.easy_session


def say_illness(context: Context, ill: bool) -> None:
    """Notes whether somebody has a fever, a chest infection or vomits; ``save_today`` saves it."""
    context.state.body.said = with_illness_said(context.state.body.said, ill, context.now())
    count_today(context)


def say_joint(context: Context, point: JointPoint, rating: int) -> None:
    """Notes today's number for a joint point, 0 included; ``save_today`` saves it."""
    context.state.body.said = with_joint(context.state.body.said, point, rating, context.now())
    count_today(context)


def say_sore_muscles(context: Context, rating: int) -> None:
    """Notes today's number for sore muscles; ``save_today`` saves it."""
    context.state.body.said = with_sore_muscles(context.state.body.said, rating, context.now())
    count_today(context)


def say_pressure(context: Context, high: bool | None) -> None:
    """Notes whether the blood pressure is too high for a session today; ``save_today`` saves it."""
    context.state.body.said = with_pressure(context.state.body.said, high, context.now())
    count_today(context)


async def save_today(context: Context) -> None:
    """Saves what still counts; what has ended does not come back, whatever is erased later."""
    said = context.state.body.said
    if said is None or context.state.read_only:
        return

    async def write() -> None:
        latest: SaidToday = context.state.body.said or said
        last_started = context.state.learned.history.last_started
        current = pruned(
            latest,
            _pains(context),
            context.now(),
            last_started=last_started,
            started=_sessions(context),
        )
        context.state.body.said = current
        await context.store.person.save_said_today(current)

    await context.keeping.keep("today", write)


def _sessions(context: Context) -> tuple[datetime, ...]:
    """When the sessions started that were saved, easy movement apart."""
    return tuple(one.at for one in context.state.learned.history.counts)


def _pains(context: Context) -> tuple[JointPain, ...]:
    """The joint pains told in sessions and pain notes."""
    return (*context.state.learned.history.pains, *noted_joint_pains(context.state.body.noted))
