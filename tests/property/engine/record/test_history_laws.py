"""Laws of the history that is kept beside the records."""

from __future__ import annotations

from datetime import timedelta
from functools import cache

from builders import BOTH, HAND, STARTED_AT, Journal, logged, plan, session, warm_up, work
from hypothesis import given
from hypothesis import strategies as st
from strategies import journals

from engine.record.history import DAYS_KEPT, TICKS_KEPT, History, history_of, merged
from engine.record.record import Record
from engine.session.fitted import FittedSession
from engine.session.pace import TickedItem


@cache
def sessions() -> tuple[FittedSession, ...]:
    of = plan(warm_up(), work(BOTH.slug, HAND.slug))
    return tuple(session(of, minutes=minutes) for minutes in (14, 20))


@st.composite
def records(draw: st.DrawFn) -> Record:
    """A session with anything that can happen to it, on one of a few evenings."""
    run: Journal = draw(journals(draw(st.sampled_from(sessions()))))
    run.started_at = STARTED_AT + timedelta(hours=draw(st.integers(0, 50)))
    if run.state.ending is None:
        run.write("ended", run.state.at_ms, ending="early")
    return logged(run, record_id=f"record-{draw(st.integers(1, 10**6))}")


@st.composite
def histories(draw: st.DrawFn) -> History:
    """Histories so full that merging them has to drop something."""
    seconds = draw(st.lists(st.integers(0, 40), max_size=20))
    ticked = (
        TickedItem(
            at=STARTED_AT + timedelta(seconds=second),
            item=draw(st.sampled_from("ab")),
            stated_ms=30_000,
            taken_ms=draw(st.integers(1, 3)),
        )
        for second in seconds
    )
    days = draw(st.sets(st.integers(0, 90), max_size=DAYS_KEPT))
    return merged(
        [
            History(
                days=tuple(STARTED_AT.date() + timedelta(days=day) for day in sorted(days)),
                ticked=tuple(ticked),
            )
        ]
    )


@given(st.lists(records(), max_size=6), st.integers(0, 6), st.randoms(use_true_random=False))
def test_the_history_of_two_heaps_is_that_of_both_together_in_any_order(held, cut, order) -> None:
    """merged(history_of(a), history_of(b)) == history_of(a + b) == merged(history_of(b), history_of(a))."""
    whole, (one, other) = history_of(held), (history_of(held[:cut]), history_of(held[cut:]))
    shuffled = list(held)
    order.shuffle(shuffled)
    assert merged([one, other]) == merged([other, one]) == history_of(shuffled) == whole


@given(st.lists(histories(), max_size=4), st.integers(0, 4))
def test_it_does_not_matter_which_histories_are_merged_first(held, cut) -> None:
    """merged(merged(a), merged(b)) == merged(a + b), even with more than is kept."""
    assert merged([merged(held[:cut]), merged(held[cut:])]) == merged(held)


@given(st.lists(histories(), max_size=4))
def test_a_history_stays_small(held) -> None:
    found = merged(held)
    assert len(found.days) <= DAYS_KEPT
    assert all([one.item for one in found.ticked].count(item) <= TICKS_KEPT for item in "ab")


@given(st.lists(records(), max_size=3))
def test_a_history_is_read_as_it_was_written(held) -> None:
    found = history_of(held)
    assert History.model_validate_json(found.model_dump_json()) == found
