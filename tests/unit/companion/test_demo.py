"""The invented history behind `--demo`: real fits, real runs, the same on the same day."""

from datetime import date

from companion.demo import STORY, make_demo
from engine.record import Record
from engine.review import iso_week
from engine.run import Ending
from storage.memory import MemoryStore

TODAY = date(2026, 3, 2)


async def made() -> MemoryStore:
    store = MemoryStore()
    await make_demo(store, today=TODAY)
    return store


async def test_the_history_spans_eight_weeks_of_sessions_on_days_of_their_own_before_today() -> None:
    records = await (await made()).records()
    days = [record.local_date for record in records]
    assert len(records) == len(set(days)) == len(STORY)
    assert max(days) < TODAY
    assert (max(days) - min(days)).days >= 7 * 7
    assert len({iso_week(day) for day in days}) >= 7


async def test_one_session_stopped_for_pain_and_the_others_ran_to_their_end() -> None:
    records = await (await made()).records()
    stopped = [record for record in records if record.ending is Ending.pain]
    assert [note.joint for record in stopped for note in record.pains] == ["knee"]
    assert all(record.ending is Ending.finished for record in records if record not in stopped)
    assert all(record.active_ms == record.session.total_ms for record in records if record not in stopped)


async def test_the_same_day_gives_the_same_history_and_a_second_time_changes_nothing() -> None:
    store = await made()
    before = await store.records()
    await make_demo(store, today=TODAY)
    assert await store.records() == before == await (await made()).records()
    assert all(Record.model_validate_json(record.model_dump_json()) == record for record in before)


async def test_the_loads_step_up_over_the_weeks() -> None:
    records = await (await made()).records()
    loads = [
        max(s.load_g or 0 for s in record.sets) for record in records if any(s.dumbbells for s in record.sets)
    ]
    assert loads == sorted(loads)
    assert loads[-1] > loads[0]
