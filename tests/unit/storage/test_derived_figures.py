"""What every store derives from sessions: weekly figures, last loads and the history."""

from __future__ import annotations

import builders
import pytest
from recounted import LATER, amendment, on, save_all

from engine.live.state import Outcome
from engine.record.amendment import amended
from engine.record.history import history_of
from engine.record.record import SetAnswer
from engine.record.week import review_week
from storage.derived import last_loads, weekly_figures
from storage.store import Store, amended_records

LOADS = {"one-hand-press": 8_000}


async def test_the_week_index_is_what_a_full_recount_gives(store: Store) -> None:
    """Derived here from all records as amended, over weeks across the ends of a month and a year."""
    days = ("2025-12-29", "2026-01-02", "2026-01-31", "2026-02-01", "2026-02-02", "2026-02-28", "2026-03-01")
    for day in days:
        await store.sessions.save(on(day, loads_g={"one-hand-press": 5_000}, effort=5))
    await store.sessions.amend(amendment("record-2026-02-01", value=9))
    await store.sessions.save(on("2026-02-03", "removed"))
    await store.sessions.erase("removed", at=LATER)
    held = [
        amended(record, await store.sessions.amendments(record.id))
        for record in [await store.sessions.record(f"record-{day}") for day in days]
        if record is not None
    ]
    assert len(held) == len(days)
    index = await store.sessions.week_index()
    assert index == weekly_figures(held)
    assert [week.iso_week for week in index] == ["2026-W01", "2026-W05", "2026-W06", "2026-W09"]
    assert [week.sessions for week in index] == [2, 2, 1, 2]
    assert all(week == review_week(held, week.iso_week) for week in index)
    assert index[1].session_load == pytest.approx((9 + 5) * held[2].active_ms / 60_000)


async def test_a_week_whose_last_record_is_erased_leaves_the_index(store: Store) -> None:
    await store.sessions.save(builders.record())
    assert len(await store.sessions.week_index()) == 1
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.week_index() == ()


def test_last_loads_stand_in_one_order_whichever_tempo_was_lifted_first() -> None:
    made = builders.short_session()
    slow, quick = (
        tuple(one.model_copy(update={"tempo": tempo}) for one in builders.record(made, loads_g=LOADS).sets)
        for tempo in ("5-0-1-0", "3-0-1-0")
    )
    first = builders.record(made, record_id="first", loads_g=LOADS)
    for sets in (slow + quick, quick + slow):
        loads = last_loads([first.model_copy(update={"sets": sets})])
        assert [one.tempo for one in loads] == ["3-0-1-0", "5-0-1-0"]


def test_a_set_that_was_skipped_lifted_nothing() -> None:
    done = builders.record(loads_g=LOADS)
    assert len(last_loads([done])) == 1
    skipped = tuple(one.model_copy(update={"outcome": Outcome.skipped, "worked_ms": 0}) for one in done.sets)
    assert last_loads([done.model_copy(update={"sets": skipped})]) == ()


async def test_the_last_load_is_kept_by_form_kit_interval_and_tempo(store: Store) -> None:
    pair = builders.short_session(kit=builders.Kit.pair)
    await save_all(
        store,
        on("2026-03-02", loads_g={"one-hand-press": 8_000}),
        on("2026-02-27", loads_g={"one-hand-press": 6_000}),
        builders.record(pair, record_id="pair", loads_g={"one-hand-press": 5_000}),
    )
    loads = {
        (one.variant, one.kit, one.interval_ms, one.tempo): one for one in await store.sessions.last_loads()
    }
    assert {key: one.load_g for key, one in loads.items()} == {
        ("one", "single", 30_000, "3-0-1-0"): 8_000,
        ("two", "pair", 60_000, "3-0-1-0"): 5_000,
    }
    assert await store.sessions.last_loads() == last_loads(await store.sessions.records())


async def test_the_last_load_follows_corrections_and_erasing(store: Store) -> None:
    second = on("2026-03-04", loads_g={"one-hand-press": 9_000})
    await save_all(store, on("2026-02-25", loads_g={"one-hand-press": 6_000}), second)
    answer = SetAnswer(load_g=7_500).model_dump(mode="json")
    await store.sessions.amend(
        amendment(second.id, field="set", value={"key": second.sets[-1].key, "answer": answer})
    )
    assert [one.load_g for one in await store.sessions.last_loads()] == [7_500]
    await store.sessions.erase(second.id, at=LATER)
    assert [one.load_g for one in await store.sessions.last_loads()] == [6_000]


async def test_the_history_is_what_a_full_recount_gives(store: Store) -> None:
    """Over three months, with a correction, and without the record that was erased."""
    days = ("2025-12-29", "2026-01-02", "2026-01-31", "2026-02-01", "2026-02-28")
    for number, day in enumerate(days, 1):
        await store.sessions.save(on(day, loads_g={"one-hand-press": number * 1_000}))
    second = await store.sessions.record("record-2026-02-28")
    assert second is not None
    answer = SetAnswer(load_g=7_500, form_held=False).model_dump(mode="json")
    late = {"key": second.sets[-1].key, "answer": answer}
    await store.sessions.amend(amendment(second.id, field="set", value=late))
    knee = {"joint": "knee", "side": "left", "rating": 2}
    await store.sessions.amend(
        amendment("record-2026-02-01", id="morning", field="next_morning_pain", value=knee)
    )
    await store.sessions.save(on("2026-01-10", "removed"))
    await store.sessions.erase("removed", at=LATER)
    found = await store.sessions.history()
    assert found == history_of(await amended_records(store), await store.sessions.amendments_in())
    assert [day.isoformat() for day in found.days] == list(days)
    assert [one.load_g for one in found.exposures] == [1_000, 2_000, 3_000, 4_000, 5_000]
    assert [one.form_kept for one in found.exposures] == [True, True, True, True, False]
    assert [one.pain for one in found.exposures] == [0, 0, 0, 2, 0]
    assert found.exposures[-1].sets[-1].load_g == 7_500
