"""How every store keeps notes on weeks and adjustments."""

from __future__ import annotations

from datetime import timedelta

import builders

from engine.base.message import Own
from engine.coach.question import Question
from engine.movements.movement import Joint, Side
from engine.today.said import with_joint
from storage.models import WeekNote
from storage.store import Store


async def test_what_is_said_about_a_week_is_kept_by_week_and_replaced_by_what_is_said_later(
    store: Store,
) -> None:
    assert await store.person.week_notes() == ()
    asked = (Question(said=Own(own="Why the knee?"), about="pain"),)
    await store.person.save_week_note(WeekNote(iso_week="2026-W11"))
    await store.person.save_week_note(WeekNote(iso_week="2026-W10", all_activity_logged=True))
    later = WeekNote(iso_week="2026-W10", questions=asked)
    await store.person.save_week_note(later)
    assert await store.person.week_notes() == (later, WeekNote(iso_week="2026-W11"))


async def test_an_adjustment_is_kept_once_and_the_earliest_stands_first(store: Store) -> None:
    assert await store.person.adjustments() == ()
    first = builders.adjustment()
    later = builders.adjustment(made_at=first.made_at + timedelta(days=1))
    for adjustment in (later, first, later):
        await store.person.save_adjustment(adjustment)
    assert await store.person.adjustments() == (first, later)
    for _ in range(2):
        await store.person.remove_adjustment(first)
        assert await store.person.adjustments() == (later,)


async def test_what_was_said_about_today_is_kept_replaced_by_what_is_said_later_and_erased(
    store: Store,
) -> None:
    assert await store.person.said_today() is None
    said = with_joint(None, (Joint.knee, Side.left), 4, builders.STARTED_AT)
    await store.person.save_said_today(said)
    later = with_joint(said, (Joint.neck, None), 0, builders.STARTED_AT + timedelta(hours=1))
    await store.person.save_said_today(later)
    assert await store.person.said_today() == later
    await store.erase_all(at=builders.STARTED_AT)
    assert await store.person.said_today() is None
