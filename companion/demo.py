"""Eight invented weeks for `--demo`: sample plans, really fitted and really run, with one person's answers.

The table below is the whole story; nothing is left to chance, so the same day gives the same history.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import NamedTuple
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from companion.samples import sample_plans
from engine.choose import Room
from engine.fit import Asked
from engine.fitted import FittedSession
from engine.movement import Joint, Kit, Side
from engine.offer import offer
from engine.pain import PainKind, PainNote
from engine.record import LogAnswers, Profile, Record, record_from
from engine.run import (
    Ended,
    Ending,
    Event,
    Hurt,
    Paused,
    Resumed,
    RunState,
    Started,
    Status,
    Ticked,
    advance,
    begin,
)
from engine.segment import Pace
from storage.models import KitOwned
from storage.protocol import Store

WEEKS = 8
MOST_EVENTS = 200
FIRST_LOAD_G, STEP_G = 6_000, 1_000


class Day(NamedTuple):
    """One session: days before the last one, which sample, minutes, effort; ``hurt`` ends it half way."""

    days_ago: int
    plan: int
    minutes: int
    effort: float
    hurt: bool = False
    paused_s: int = 0


STORY = (
    *(Day(55, 0, 25, 6), Day(53, 1, 30, 6.5), Day(51, 2, 25, 5)),
    *(Day(48, 0, 28, 6), Day(46, 1, 30, 7, paused_s=95), Day(44, 3, 40, 7)),
    *(Day(41, 0, 30, 6.5), Day(39, 1, 35, 7)),
    *(Day(34, 0, 30, 7), Day(32, 3, 42, 8, hurt=True)),
    # The week after the sore knee stays free.
    *(Day(20, 2, 25, 4), Day(18, 0, 18, 5)),
    *(Day(13, 0, 30, 6), Day(11, 1, 32, 6.5), Day(9, 2, 30, 5)),
    *(Day(5, 0, 36, 7), Day(3, 1, 35, 7, paused_s=40), Day(1, 3, 42, 7.5)),
)


async def make_demo(store: Store, *, today: date, zone: str = "Europe/Lisbon") -> None:
    """Fills a store with the invented history that ends yesterday; a second time changes nothing."""
    profile = Profile(
        trainee_id=_id("trainee", today), name="Ilka", zone=zone, cautions_read_at=_at(today, 60, zone)
    )
    if await store.profile() is None:
        await store.save_profile(profile)
        loads_g = (6_000, 8_000, 10_000, 12_000)
        await store.save_kit(KitOwned(dumbbells=Kit.single, loads_g=loads_g, adjustable=True))
        for plan in sample_plans():
            await store.save_plan(plan)
    known = {record.id for record in await store.records()}
    for day in STORY:
        record_id = _id(f"session {day.days_ago}", today)
        if record_id not in known:
            await store.save_record(demo_record(day, record_id, profile, today))


def demo_record(day: Day, record_id: str, profile: Profile, today: date) -> Record:
    """One session of the story: fitted, run through the reducer, logged."""
    plan = sample_plans()[day.plan]
    session = offer(plan, Asked(minutes=day.minutes, room=Room(kit=Kit.single))).session
    if session is None:
        raise ValueError(f"“{plan.name}” cannot be done in {day.minutes} minutes.")
    started_at = _at(today, day.days_ago, profile.zone)
    state = _run(session, day, started_at)
    ended_at = started_at + timedelta(milliseconds=state.at_ms)
    load_g = FIRST_LOAD_G + STEP_G * ((WEEKS * 7 - day.days_ago) // 14)
    movements = {item.chosen.movement for block in session.blocks for item in block.items}
    answers = LogAnswers(loads_g=dict.fromkeys(sorted(movements), load_g), effort=day.effort)
    return record_from(
        state, answers, record_id=record_id, profile=profile, started_at=started_at, ended_at=ended_at
    )


def _run(session: FittedSession, day: Day, started_at: datetime) -> RunState:
    """Ticks what is self-paced at its estimate and lets the clock do the rest."""
    state, now_ms = begin(session), 0

    def happens(kind: type[Event], **fields: object) -> RunState:
        wall = started_at + timedelta(milliseconds=now_ms)
        seq = state.seq + 1
        return advance(state, kind(seq=seq, id=f"{seq}", session_ms=now_ms, wall=wall, **fields))

    state = happens(Started)
    half_ms = session.total_ms // 2
    while state.status is not Status.ended and state.seq < MOST_EVENTS:
        current = state.current
        if current is not None and current.pace is Pace.self:
            now_ms += current.planned_ms
            state = happens(Ticked)
            continue
        if day.paused_s:
            now_ms += 1_000
            state = happens(Paused)
            now_ms += day.paused_s * 1_000
            state, day = happens(Resumed), day._replace(paused_s=0)
            continue
        if day.hurt:
            now_ms = max(now_ms, half_ms)
            state = happens(Hurt, pain=_sore_knee(now_ms))
            state = happens(Ended, ending=Ending.pain)
            continue
        now_ms = _next_stop_ms(state, now_ms)
        state = happens(Paused)
        if state.status is not Status.ended:
            state = happens(Resumed)
    return state


def _next_stop_ms(state: RunState, now_ms: int) -> int:
    """When the clocked segments from here on are over: at the next self-paced one, or at the end."""
    until_ms = now_ms + state.remaining_at(now_ms)
    for segment in state.coming:
        if segment.pace is Pace.self:
            break
        until_ms += segment.planned_ms
    return until_ms


def _sore_knee(session_ms: int) -> PainNote:
    return PainNote(session_ms=session_ms, kind=PainKind.joint, joint=Joint.knee, side=Side.left, rating=4)


def _at(today: date, days_ago: int, zone: str) -> datetime:
    return datetime.combine(today - timedelta(days=days_ago), time(18, 30), ZoneInfo(zone))


def _id(what: str, today: date) -> str:
    return str(uuid5(NAMESPACE_URL, f"session-companion demo {what} {today}"))
