"""Laws of a week's figures."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import BOTH, HAND, STARTED_AT, plan, record, session, work
from hypothesis import given
from hypothesis import strategies as st

from engine.base.periods import iso_week
from engine.coach.trend import pattern_trends
from engine.movements.movement import Kit
from engine.plan.plan import RoundsRange
from engine.record.record import Record
from engine.record.week import WeekReview, review_week

TWO = RoundsRange(min=2, max=2)
SESSIONS = tuple(session(plan(work(BOTH.slug, HAND.slug, rounds=TWO)), minutes=20, kit=kit) for kit in Kit)
ADDED = (
    *("sessions", "minutes", "rounds_done", "rounds_planned", "session_load"),
    *("sessions_without_effort", "stopped_for_pain"),
)


@st.composite
def weeks_of_records(draw: st.DrawFn) -> list[Record]:
    days = draw(st.lists(st.integers(0, 20), max_size=8))
    return [
        record(
            draw(st.sampled_from(SESSIONS)),
            started_at=STARTED_AT + timedelta(days=day, minutes=number),
            record_id=f"{number}",
            effort=draw(st.none() | st.sampled_from([0, 4.5, 7, 10])),
            loads_g=draw(st.sampled_from([{}, {HAND.slug: 6_000}, {BOTH.slug: 12_000, HAND.slug: 8_000}])),
        )
        for number, day in enumerate(days)
    ]


def reviews_of(records: list[Record]) -> list[WeekReview]:
    return [review_week(records, week) for week in ("2026-W10", "2026-W11", "2026-W12")]


@given(weeks_of_records())
def test_a_weeks_figures_are_the_sums_of_its_records(records: list[Record]) -> None:
    """Reviewing records one by one and adding up gives the review of all together."""
    for review in reviews_of(records):
        alone = [
            review_week([one], review.iso_week)
            for one in records
            if iso_week(one.local_date) == review.iso_week
        ]
        for name in ADDED:
            assert getattr(review, name) == pytest.approx(sum(getattr(one, name) for one in alone))
        assert review.volume_g == sum(one.volume_g for one in alone)
        assert sum(one.sets for one in review.patterns) == sum(p.sets for one in alone for p in one.patterns)
        assert review.strength_days <= min(7, review.sessions)


@given(weeks_of_records(), st.randoms())
def test_the_order_of_the_records_makes_no_difference(records: list[Record], chance) -> None:
    """A week is a set of records."""
    mixed = list(records)
    chance.shuffle(mixed)
    assert reviews_of(mixed) == reviews_of(records)


@given(weeks_of_records())
def test_weeks_together_are_what_their_patterns_come_to_in_all(records: list[Record]) -> None:
    """Merging weeks adds up the figures of each pattern as if they were one week."""
    at_once = [one.model_copy(update={"local_date": STARTED_AT.date()}) for one in records]
    merged = {one.pattern: one for one in review_week(at_once, "2026-W10").patterns}
    for trend in pattern_trends(reviews_of(records)):
        assert trend.pattern is not None
        assert trend.total.model_dump() == merged[trend.pattern].model_dump(exclude={"pattern"})
