"""The data folder of somebody who has trained for a year and stands in the middle of a session.

``rehearsal.py`` has it written by the code of an earlier version, which is why this asks nothing of the tests
but what that version has too.
"""

from __future__ import annotations

import asyncio
import json
from datetime import timedelta
from pathlib import Path

from builders import Journal, adjustment, noted_pain
from three_years import FIRST_MONDAY, person, sessions

from companion.samples import sample_plans
from engine.base.periods import iso_week
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, solve
from engine.live.events import RunningRecord
from engine.live.run import at as state_at
from engine.live.timing import remaining_at
from engine.load.rack import FixedWeight, Rack
from engine.movements.movement import Joint, Kit, Side
from engine.movements.room import Room
from engine.record.amendment import Amendment
from engine.record.record import Record
from engine.today.said import with_joint
from storage.folder.store import FolderStore
from storage.models import KitOwned, SavedDraft, Settings, Theme, WeekNote

WEEKS = 52
WHO = 52
"""Which of the invented people it is."""
ERASED = slice(3, 6)
RUN_ID = "a-session-in-progress"


async def write_year(folder: Path) -> None:
    """Fills an empty folder."""
    store = FolderStore(folder)
    records = [one.record for one in sessions(WHO, weeks=WEEKS)]
    await _write_person(store, records)
    await _write_plans(store)
    await _write_sessions(store, records)
    run = _in_progress(records[-1])
    await store.run.open(run.model_copy(update={"events": ()}))
    for event in run.events:
        await store.run.append(event)
    await store.sessions.history()  # makes what is derived, which is kept too
    await store.sessions.week_index()


async def _write_person(store: FolderStore, records: list[Record]) -> None:
    profile, last = person(WHO), records[-1]
    await store.person.save_profile(profile.model_copy(update={"cautions_read_at": records[0].started_at}))
    rack = Rack(fixed=tuple(FixedWeight(load_g=load_g, count=2) for load_g in (4_000, 6_000, 8_000)))
    await store.person.save_kit(KitOwned(dumbbells=Kit.pair, rack=rack))
    chosen = Settings(voice=True, volume=0.5, theme=Theme.dark, plan_id=sample_plans()[1].id)
    await store.person.save_settings(chosen.model_copy(update={"backed_up_at": last.ended_at}))
    await store.person.save_said_today(with_joint(None, (Joint.knee, Side.left), 2, last.ended_at))
    for days in (0, 40):
        made_at = last.started_at - timedelta(days=days)
        taken = adjustment(trainee=profile.name, trainee_id=profile.trainee_id, made_at=made_at)
        await store.person.save_adjustment(taken)
    await store.person.remove_adjustment(taken)
    for weeks in (0, 5):
        week = iso_week(FIRST_MONDAY + timedelta(weeks=weeks))
        await store.person.save_week_note(WeekNote(iso_week=week, all_activity_logged=weeks == 0))


async def _write_plans(store: FolderStore) -> None:
    first, second = sample_plans()[:2]
    own = first.model_copy(update={"id": "from-the-coach", "name": "From the coach", "author": "Odd Aas"})
    for plan in (first, second, own, own.model_copy(update={"id": "tried-once"})):
        await store.plans.save(plan)
    await store.plans.remove("tried-once")
    await store.plans.save_draft(SavedDraft(id="half-written", content={"name": "Half", "blocks": [1, None]}))


async def _write_sessions(store: FolderStore, records: list[Record]) -> None:
    for number, record in enumerate(records):
        assert await store.sessions.save(record)
        if number % 7 == 0:
            later = record.ended_at + timedelta(hours=2)
            answer = Amendment(
                id=f"amendment-{number}", record_id=record.id, at=later, field="effort", value=7.5
            )
            await store.sessions.amend(answer)
    for record in records[ERASED]:
        await store.sessions.erase(record.id, at=records[-1].ended_at)
    whose, when = records[0].trainee_id, records[-1].started_at
    for days in range(3):
        note = noted_pain(
            id=f"note-{days}", trainee_id=whose, at=when - timedelta(days=days), rating=days + 3
        )
        await store.sessions.save_pain_note(note)
    await store.sessions.erase("note-1", at=when)


def _in_progress(last: Record) -> RunningRecord:
    """A session of a sample plan, paused in the work of its first round."""
    problem = pose(sample_plans()[1], Asked(minutes=30, room=Room(kit=Kit.pair)))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None
    run = Journal(fitted(problem, solution), started_at=last.started_at + timedelta(days=2))
    run.write("started", 0)
    while run.state.current is not None and run.state.current.kind != "work":
        now_ms = run.state.at_ms + remaining_at(run.state, run.state.at_ms)
        if run.state.current.pace == "self":
            run.write("ticked", now_ms)
        else:
            run.state = state_at(run.state, now_ms)
    run.write("paused", run.state.at_ms + 12_000)
    return run.record().model_copy(update={"run_id": RUN_ID, "zone": "Europe/Lisbon"})


async def told(store: FolderStore) -> dict[str, object]:
    """What is counted in a folder: the documents of each kind, and the sessions of each week."""
    sessions_of, run = store.sessions, await store.run.read()
    counts = {
        "plans": len(await store.plans.all()),
        "drafts": len(await store.plans.drafts()),
        "adjustments": len(await store.person.adjustments()),
        "week notes": len(await store.person.week_notes()),
        "records": len(await sessions_of.records()),
        "amendments": len(await sessions_of.amendments_in()),
        "pain notes": len(await sessions_of.pain_notes()),
        "tombstones": len(await sessions_of.tombstones()),
        "last loads": len(await sessions_of.last_loads()),
        "events in progress": len(run.events) if run else 0,
    }
    weeks = {week.iso_week: week.sessions for week in await sessions_of.week_index()}
    return {"counts": counts, "sessions by week": weeks}


async def _next_day(store: FolderStore, what: str) -> None:
    profile, (*_, last) = await store.person.profile(), await store.sessions.records()
    assert profile is not None
    match what:
        case "profile":
            await store.person.save_profile(profile)
        case "settings":
            await store.person.save_settings(await store.person.settings())
        case "session":
            assert await store.sessions.save(last.model_copy(update={"id": "the-day-after"}))


def next_day(folder: str, what: str) -> None:
    """Changes one thing in a folder, which writes it as the version whose code this runs with."""
    asyncio.run(_next_day(FolderStore(Path(folder)), what))


def main(folder: str) -> None:
    asyncio.run(write_year(Path(folder)))


def tell(folder: str) -> None:
    print(json.dumps(asyncio.run(told(FolderStore(Path(folder), may_write=lambda: False)))))
