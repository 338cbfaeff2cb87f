"""What every store does, in memory, in a folder and in the browser (a real one in the browser tests)."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import builders
import pytest
from builders import STARTED_AT

from engine.coach.questions import Question
from engine.movements.movement import Equipment
from engine.plan.draft import PlanDraft, Put, apply, new_draft
from engine.record.history import History, history_of
from engine.record.record import Amendment, Record, SetAnswer, amended
from engine.record.week import review_week
from storage.counting import count_weeks, last_loads
from storage.models import KeptDraft, KitOwned, Settings, Theme, WeekNote
from storage.problem import Cause, StorageProblem
from storage.store import Store, amended_records

LATER = STARTED_AT + timedelta(days=1)


def amendment(record_id: str = "record-1", **fields: Any) -> Amendment:
    defaults = {"id": "amendment-1", "record_id": record_id, "at": LATER, "field": "effort", "value": 7.5}
    return Amendment.model_validate(defaults | fields)


def on(day: str, record_id: str | None = None, **answers: Any) -> Record:
    started_at = datetime.fromisoformat(f"{day}T18:30:00+01:00")
    return builders.record(started_at=started_at, record_id=record_id or f"record-{day}", **answers)


async def save_all(store: Store, *records: Record) -> None:
    for record in records:
        assert await store.sessions.save(record)


async def test_a_new_store_is_empty(store: Store) -> None:
    assert await store.person.profile() is None
    assert await store.person.kit() is None
    assert await store.person.settings() == Settings()
    assert await store.plans.all() == ()
    assert await store.plans.one("test-plan") is None
    assert await store.sessions.records() == ()
    assert await store.sessions.record("record-1") is None
    assert await store.sessions.week_index() == ()
    assert await store.sessions.last_loads() == ()
    assert await store.sessions.history() == History()
    assert await store.run.read() is None
    assert await store.sessions.tombstones() == ()
    assert await store.troubles() == ()


async def test_what_is_saved_is_what_is_found(store: Store) -> None:
    profile = builders.profile(
        zone="Europe/Lisbon", unit="lb", flags=("novice",), cautions_read_at=STARTED_AT
    )
    kit = KitOwned.model_validate(
        {
            "dumbbells": "pair",
            "rack": {
                "fixed": [{"load_g": 4_000, "count": 2}],
                "adjustable": [{"bar_g": 2_000, "plates": [{"load_g": 1_250, "count": 4}]}],
            },
            "absent": ("wall", "bench"),
        }
    )
    plan = builders.plan()
    record = builders.record(loads_g={"one-hand-press": 6_000}, effort=6.5, note="Grip – “fine”.\n\t∞ 🪨")
    await store.person.save_profile(profile)
    await store.person.save_kit(kit)
    settings = Settings(haptic=False, voice=True, volume=0.25, theme=Theme.dark, motion=False)
    await store.person.save_settings(settings)
    await store.plans.save(plan)
    await store.sessions.save(record)
    assert await store.person.profile() == profile
    assert await store.person.kit() == kit
    assert await store.person.settings() == settings
    assert await store.plans.one(plan.id) == plan
    assert await store.sessions.record(record.id) == record
    assert await store.sessions.records() == (record,)


async def test_what_is_said_about_a_week_is_kept_by_week_and_replaced_by_what_is_said_later(
    store: Store,
) -> None:
    assert await store.person.week_notes() == ()
    asked = (Question(text="Why the knee?", about="pain"),)
    await store.person.save_week_note(WeekNote(iso_week="2026-W11"))
    await store.person.save_week_note(WeekNote(iso_week="2026-W10", all_activity_logged=True))
    later = WeekNote(iso_week="2026-W10", questions=asked)
    await store.person.save_week_note(later)
    assert await store.person.week_notes() == (later, WeekNote(iso_week="2026-W11"))


async def test_a_draft_is_kept_as_it_stands_faults_and_all_until_it_is_taken_away(store: Store) -> None:
    assert await store.plans.drafts() == ()
    other, begun = new_draft("new-plan-2"), new_draft("new-plan")
    half = apply(apply(begun, Put(("name",), "Böathouse")), Put(("transition_s",), "soon"))
    for draft_id, draft in (("new-plan", begun), ("new-plan-2", other), ("new-plan", half)):
        await store.plans.save_draft(KeptDraft(id=draft_id, content=draft.content))
    assert [PlanDraft(one.content) for one in await store.plans.drafts()] == [half, other]
    await store.plans.remove_draft("new-plan-2")
    await store.plans.remove_draft("never-was")
    assert [one.id for one in await store.plans.drafts()] == ["new-plan"]
    await store.erase_all(at=LATER)
    assert await store.plans.drafts() == ()


async def test_an_adjustment_is_kept_once_and_the_earliest_stands_first(store: Store) -> None:
    assert await store.person.adjustments() == ()
    first = builders.adjustment()
    later = builders.adjustment(made_at=first.made_at + timedelta(days=1))
    for adjustment in (later, first, later):
        await store.person.save_adjustment(adjustment)
    assert await store.person.adjustments() == (first, later)


async def test_a_profile_or_a_plan_saved_again_takes_the_place_of_the_old_one(store: Store) -> None:
    await store.person.save_profile(builders.profile(name="Runa", zone="Europe/Oslo"))
    await store.person.save_profile(builders.profile(name="Runa Dahl"))
    await store.plans.save(builders.plan(note="First words."))
    await store.plans.save(builders.plan())
    assert await store.person.profile() == builders.profile(name="Runa Dahl")
    assert await store.plans.all() == (builders.plan(),)


async def test_plans_come_by_name(store: Store) -> None:
    await store.plans.save(builders.plan(id="one", name="Tide"))
    await store.plans.save(builders.plan(id="two", name="Ebb"))
    assert [plan.name for plan in await store.plans.all()] == ["Ebb", "Tide"]


async def test_a_removed_plan_is_gone_and_the_others_stay(store: Store) -> None:
    await store.plans.save(builders.plan(id="one"))
    await store.plans.save(builders.plan(id="two"))
    await store.plans.remove("one")
    await store.plans.remove("one")
    assert [plan.id for plan in await store.plans.all()] == ["two"]
    await store.plans.remove("two")
    assert await store.plans.all() == ()


async def test_records_are_found_by_the_month_and_the_week_of_their_local_date(store: Store) -> None:
    """ISO 8601: week 14 of 2026 runs from 30 March to 5 April, week 53 to 3 January 2027."""
    march, april, december = on("2026-03-31"), on("2026-04-01"), on("2026-12-31")
    january = on("2027-01-02")
    await save_all(store, january, april, march, december)
    assert await store.sessions.records("2026-03") == (march,)
    assert await store.sessions.records("2026-W14") == (march, april)
    assert await store.sessions.records("2026-W53") == (december, january)
    assert await store.sessions.records("2026-05") == ()
    assert await store.sessions.records() == (march, april, december, january)


async def test_the_local_date_counts_and_not_the_date_in_greenwich(store: Store) -> None:
    auckland = timezone(timedelta(hours=13))
    early = builders.record(started_at=datetime(2026, 4, 1, 7, tzinfo=auckland))
    assert early.started_at.astimezone(UTC).month == 3
    await store.sessions.save(early)
    assert await store.sessions.records("2026-04") == (early,)
    assert await store.sessions.records("2026-03") == ()


async def test_what_is_no_period_is_refused(store: Store) -> None:
    with pytest.raises(ValueError):
        await store.sessions.records("last month")


async def test_saving_the_same_record_again_changes_nothing(store: Store) -> None:
    await save_all(store, builders.record(), builders.record())
    assert await store.sessions.records() == (builders.record(),)


async def test_a_record_never_changes(store: Store) -> None:
    await store.sessions.save(builders.record())
    with pytest.raises(StorageProblem) as problem:
        await store.sessions.save(builders.record(note="Rewritten."))
    assert problem.value.cause is Cause.already_saved
    assert await store.sessions.records() == (builders.record(),)


async def test_an_amendment_stands_beside_its_record(store: Store) -> None:
    record = builders.record()
    await save_all(store, record, on("2026-03-09"))
    await store.sessions.amend(
        amendment(id="second", at=LATER + timedelta(hours=1), field="note", value="Slept badly.")
    )
    await store.sessions.amend(amendment(id="first"))
    assert await store.sessions.record(record.id) == record
    assert [one.id for one in await store.sessions.amendments(record.id)] == ["first", "second"]
    assert await store.sessions.amendments("record-2026-03-09") == ()
    assert await store.sessions.amendments_in("2026-W10") == await store.sessions.amendments(record.id)
    assert await store.sessions.amendments_in("2026-W11") == ()
    (corrected,) = await amended_records(store, "2026-W10")
    assert (corrected.effort, corrected.note) == (7.5, "Slept badly.")


async def test_any_value_of_an_amendment_comes_back_as_it_was(store: Store) -> None:
    record = builders.record()
    answer = SetAnswer(load_g=7_000, repetitions=9, effort=8).model_dump(mode="json")
    late = amendment(field="set", value={"key": record.sets[0].key, "answer": answer})
    await store.sessions.save(record)
    await store.sessions.amend(late)
    assert await store.sessions.amendments(record.id) == (late,)


async def test_the_same_amendment_again_changes_nothing_and_another_with_its_id_is_refused(
    store: Store,
) -> None:
    await store.sessions.save(builders.record())
    await store.sessions.amend(amendment())
    await store.sessions.amend(amendment())
    with pytest.raises(StorageProblem) as problem:
        await store.sessions.amend(amendment(value=3))
    assert problem.value.cause is Cause.already_saved
    assert await store.sessions.amendments("record-1") == (amendment(),)


async def test_an_amendment_needs_its_record(store: Store) -> None:
    with pytest.raises(StorageProblem) as problem:
        await store.sessions.amend(amendment())
    assert str(problem.value) == "There is no record “record-1”."


async def test_an_erased_record_leaves_only_its_tombstone(store: Store) -> None:
    await save_all(store, builders.record(), on("2026-03-04"))
    await store.sessions.amend(amendment())
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.record("record-1") is None
    assert await store.sessions.amendments("record-1") == ()
    assert await store.sessions.amendments_in() == ()
    assert await store.sessions.records() == (on("2026-03-04"),)
    assert [(one.record_id, one.erased_at) for one in await store.sessions.tombstones()] == [
        ("record-1", LATER)
    ]


async def test_a_merge_never_revives_what_was_erased(store: Store) -> None:
    await store.sessions.save(builders.record())
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.save(builders.record()) is False
    await store.sessions.amend(amendment())
    assert await store.sessions.records() == ()
    assert await store.sessions.amendments("record-1") == ()


async def test_a_tombstone_from_elsewhere_keeps_its_record_out(store: Store) -> None:
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.save(builders.record()) is False


async def test_erasing_again_keeps_the_first_tombstone(store: Store) -> None:
    await store.sessions.erase("record-1", at=LATER)
    await store.sessions.erase("record-1", at=LATER + timedelta(days=40))
    assert [one.erased_at for one in await store.sessions.tombstones()] == [LATER]


async def test_the_week_index_is_what_a_full_recount_gives(store: Store) -> None:
    """Counted here from all records as amended, over weeks that lie across the ends of a month and a year."""
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
    assert index == count_weeks(held)
    assert [week.iso_week for week in index] == ["2026-W01", "2026-W05", "2026-W06", "2026-W09"]
    assert [week.sessions for week in index] == [2, 2, 1, 2]
    assert all(week == review_week(held, week.iso_week) for week in index)
    assert index[1].session_load == pytest.approx((9 + 5) * held[2].active_ms / 60_000)


async def test_a_week_whose_last_record_is_erased_leaves_the_index(store: Store) -> None:
    await store.sessions.save(builders.record())
    assert len(await store.sessions.week_index()) == 1
    await store.sessions.erase("record-1", at=LATER)
    assert await store.sessions.week_index() == ()


async def test_the_last_load_is_kept_by_form_kit_interval_and_tempo(store: Store) -> None:
    pair = builders.short_session(kit=builders.Kit.pair)
    await save_all(
        store,
        on("2026-03-02", loads_g={"one-hand-press": 8_000}),
        on("2026-02-27", loads_g={"one-hand-press": 6_000}),
        builders.record(pair, record_id="pair", loads_g={"one-hand-press": 5_000}),
    )
    loads = {
        (one.form, one.kit, one.interval_ms, one.tempo): one for one in await store.sessions.last_loads()
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
    answer = SetAnswer(load_g=7_500, position_held=False).model_dump(mode="json")
    late = {"key": second.sets[-1].key, "answer": answer}
    await store.sessions.amend(amendment(second.id, field="set", value=late))
    await store.sessions.amend(
        amendment("record-2026-02-01", id="morning", field="next_morning_pain", value=2)
    )
    await store.sessions.save(on("2026-01-10", "removed"))
    await store.sessions.erase("removed", at=LATER)
    found = await store.sessions.history()
    assert found == history_of(await amended_records(store), await store.sessions.amendments_in())
    assert [day.isoformat() for day in found.days] == list(days)
    assert [one.load_g for one in found.exposures] == [1_000, 2_000, 3_000, 4_000, 5_000]
    assert [one.position_kept for one in found.exposures] == [True, True, True, True, False]
    assert [one.pain for one in found.exposures] == [0, 0, 0, 2, 0]
    assert found.exposures[-1].sets[-1].load_g == 7_500


async def test_a_session_in_progress_is_found_as_it_was_written(store: Store) -> None:
    run = (
        builders.journal()
        .write("paused", 4_000)
        .write("resumed", 9_500)
        .write("hurt", 20_000, pain=builders.pain())
    )
    await store.run.open(run.record().model_copy(update={"events": ()}))
    for event in run.events:
        await store.run.append(event)
    assert await store.run.read() == run.record()


async def test_a_run_is_over_when_it_is_closed(store: Store) -> None:
    opening = builders.journal().record().model_copy(update={"events": ()})
    await store.run.open(opening)
    await store.run.close()
    await store.run.close()
    assert await store.run.read() is None
    await store.run.open(opening)
    assert await store.run.read() == opening


async def test_one_session_runs_at_a_time(store: Store) -> None:
    opening = builders.journal().record().model_copy(update={"events": ()})
    await store.run.open(opening)
    with pytest.raises(StorageProblem) as problem:
        await store.run.open(opening.model_copy(update={"run_id": "run-2"}))
    assert problem.value.cause is Cause.run_in_progress


async def test_events_are_taken_one_after_the_other(store: Store) -> None:
    run = builders.journal().write("paused", 4_000).write("resumed", 9_500)
    with pytest.raises(StorageProblem) as problem:
        await store.run.append(run.events[0])
    assert problem.value.cause is Cause.no_run
    await store.run.open(run.record().model_copy(update={"events": ()}))
    await store.run.append(run.events[0])
    await store.run.append(run.events[0])
    with pytest.raises(ValueError, match="event 2 is next"):
        await store.run.append(run.events[2])
    found = await store.run.read()
    assert found is not None
    assert found.events == tuple(run.events[:1])


async def test_a_run_is_opened_without_events(store: Store) -> None:
    with pytest.raises(ValueError):
        await store.run.open(builders.journal().record())


async def test_a_crash_between_saving_the_record_and_closing_the_run_loses_and_doubles_nothing(
    store: Store,
) -> None:
    run = builders.journal()
    await store.run.open(run.record().model_copy(update={"events": ()}))
    await store.run.append(run.events[0])
    record = builders.record(record_id="run-1")
    await store.sessions.save(record)
    assert await store.run.read() is None
    assert await store.sessions.records() == (record,)
    await store.run.open(run.record().model_copy(update={"run_id": "run-2", "events": ()}))


async def test_when_everything_is_erased_only_tombstones_stay(store: Store) -> None:
    await save_all(store, on("2026-03-03"), on("2026-03-10"))
    await store.person.save_profile(builders.profile())
    await store.plans.save(builders.plan())
    await store.person.save_kit(KitOwned(absent=(Equipment.wall,)))
    await store.person.save_settings(Settings(haptic=False))
    await store.run.open(builders.journal().record().model_copy(update={"events": ()}))
    assert set(await store.erase_all(at=LATER)) == {"record-2026-03-03", "record-2026-03-10"}
    assert await store.person.profile() is None
    assert await store.person.kit() is None
    assert await store.person.settings() == Settings()
    assert await store.plans.all() == ()
    assert await store.sessions.records() == ()
    assert await store.sessions.week_index() == ()
    assert await store.run.read() is None
    assert len(await store.sessions.tombstones()) == 2
    assert not await store.sessions.save(on("2026-03-03")), "and what was erased never comes back"
